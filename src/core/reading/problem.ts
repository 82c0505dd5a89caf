import { ACT_READERS } from './act-readers.ts'
import type { ActName, ReadProblem, SingleAct } from './act.ts'
import type { Segment } from './find-keyword.ts'
import { edited, isTrouble, said } from './taken.ts'
import type { Scope, Trouble } from './taken.ts'
import { tokensOf, wordsOf } from './token.ts'
import type { Tokens } from './token.ts'
import { bookOf } from './vocabulary.ts'
import { write } from './write.ts'

/** Most choices a sender is offered. */
const MOST_CHOICES = 2

/** Reads the words behind a keyword as one act. */
export function readAs(act: ActName, tokens: Tokens, scope: Scope): SingleAct | Trouble {
  return ACT_READERS[act](tokens, scope)
}

/** The acts that a text may mean, each as a text ready to send. */
function written(readings: readonly (SingleAct | Trouble)[], { vocabulary, language }: Scope): string[] {
  const book = bookOf(vocabulary, language)
  const texts = readings.flatMap((reading) => (isTrouble(reading) ? [] : [write(reading, book)]))
  return [...new Set(texts)].slice(0, MOST_CHOICES)
}

/** The act with each alternative of its trouble in place, as far as it can then be read. */
function withAlternatives(act: ActName, tokens: Tokens, scope: Scope): (SingleAct | Trouble)[] {
  const inText = (text: string): SingleAct | Trouble => readAs(act, tokensOf(text), { ...scope, text })
  // Read once more as a text of its own, so that the places of its tokens can be edited.
  const body = wordsOf(scope.text, tokens)
  const found = inText(body)
  const alternatives = isTrouble(found) ? (found.alternatives ?? []) : []
  return alternatives.map((alternative) => inText(edited(body, alternative)))
}

/** The problem of one act's text, with what the sender may have meant. */
export function problemOf(found: Trouble, act: ActName, tokens: Tokens, scope: Scope): ReadProblem {
  const wrong = found.tokens ?? []
  const hasAlternatives = found.alternatives !== undefined && found.alternatives.length > 0
  return {
    code: found.code,
    word: wrong.length === 0 ? null : wordsOf(scope.text, wrong),
    understood: { act, ...found.understood },
    choices: hasAlternatives ? written(withAlternatives(act, tokens, scope), scope) : [],
  }
}

/** A problem that belongs to no act. */
export function plainProblem(code: ReadProblem['code'], word: string | null = null): ReadProblem {
  return { code, word, understood: {}, choices: [] }
}

/** A keyword that may stand for several acts: each as the text can be read, or as its keyword alone. */
export function unclearKeyword({ keyword, tokens }: Segment, scope: Scope): ReadProblem {
  const book = bookOf(scope.vocabulary, scope.language)
  const choices = keyword.acts.map((act) => {
    const reading = readAs(act, tokens, scope)
    return isTrouble(reading) ? (book.acts[act][0] ?? '') : write(reading, book)
  })
  return { ...plainProblem('keyword-unclear', said(keyword.tokens)), choices: choices.slice(0, MOST_CHOICES) }
}

/** A text that can be read as several acts: they are offered. */
export function unclearAct(acts: readonly ActName[], tokens: Tokens, scope: Scope): ReadProblem | undefined {
  const choices = written(
    acts.map((act) => readAs(act, tokens, scope)),
    scope,
  )
  return choices.length < MOST_CHOICES
    ? undefined
    : { ...plainProblem('keyword-unclear', wordsOf(scope.text, tokens)), choices }
}
