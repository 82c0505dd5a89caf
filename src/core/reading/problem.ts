import { ACT_READERS } from './act-readers.ts'
import type { ActName, ReadProblem, SingleAct } from './act.ts'
import type { Keyword } from './find-keyword.ts'
import type { KeywordBook } from './keyword-book.ts'
import type { ReadContext } from './read-context.ts'
import { edited, isTrouble, said } from './taken.ts'
import type { Trouble } from './taken.ts'
import { tokensOf, wordsOf } from './token.ts'
import { write } from './write.ts'

/** The words of the sender's language; English where it has none. */
function bookOf({ vocabulary: { books, english }, language }: ReadContext): KeywordBook {
  return books.get(language) ?? english
}

/** Most choices a sender is offered. */
const MOST_CHOICES = 2

/** Reads the words behind a keyword as one act. */
export function readAs(act: ActName, body: string, context: ReadContext): SingleAct | Trouble {
  return ACT_READERS[act](tokensOf(body), { ...context, text: body })
}

/** The acts that a text may mean, each as a text ready to send. */
function written(readings: readonly (SingleAct | Trouble)[], context: ReadContext): string[] {
  const texts = readings.flatMap((reading) => (isTrouble(reading) ? [] : [write(reading, bookOf(context))]))
  return [...new Set(texts)].slice(0, MOST_CHOICES)
}

/** The problem of one act's text, with what the sender may have meant. */
export function problemOf(found: Trouble, act: ActName, body: string, context: ReadContext): ReadProblem {
  const { code, tokens = [], understood, alternatives = [] } = found
  const meant = alternatives.map((alternative) => readAs(act, edited(body, alternative), context))
  const word = tokens.length === 0 ? null : wordsOf(body, tokens)
  return { code, word, understood: { act, ...understood }, choices: written(meant, context) }
}

/** A problem that belongs to no act. */
export function plainProblem(code: ReadProblem['code'], word: string | null = null): ReadProblem {
  return { code, word, understood: {}, choices: [] }
}

/** A keyword that may stand for several acts: each as the text can be read, or as its keyword alone. */
export function unclearKeyword(keyword: Keyword, body: string, context: ReadContext): ReadProblem {
  const book = bookOf(context)
  const choices = keyword.acts.map((act) => {
    const reading = readAs(act, body, context)
    return isTrouble(reading) ? (book.acts[act][0] ?? '') : write(reading, book)
  })
  return {
    code: 'keyword-unclear',
    word: said(keyword.tokens),
    understood: {},
    choices: choices.slice(0, MOST_CHOICES),
  }
}

/** A text without a keyword that has a card number: what a vaccinator may have meant by it. */
export function unclearAct(
  acts: readonly ActName[],
  body: string,
  context: ReadContext,
): ReadProblem | undefined {
  const choices = written(
    acts.map((act) => readAs(act, body, context)),
    context,
  )
  return choices.length < MOST_CHOICES
    ? undefined
    : { code: 'keyword-unclear', word: body, understood: {}, choices }
}
