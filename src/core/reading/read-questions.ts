import type { Day } from '../days/day.ts'
import { openForm } from './form.ts'
import type { Taker } from './form.ts'
import { matchPhrase } from './phrase-table.ts'
import { takeCard } from './take-card.ts'
import { takeDay } from './take-day.ts'
import { takeVillage, unreadWords } from './take-parts.ts'
import { vaccineNameAt } from './take-vaccines.ts'
import { said, trouble } from './taken.ts'
import type { ActReader, Trouble } from './taken.ts'
import type { Tokens } from './token.ts'
import type { Vocabulary } from './vocabulary.ts'

/** Questions, and acts of few words. */

const takeSessionDay: Taker<Day> = (tokens, scope) => takeDay(tokens, { direction: 'coming' }, scope)

/** `DUE [village] [day]`. */
export const readDueList: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const date = form.optional(takeSessionDay) ?? null
  const village = form.optional(takeVillage) ?? null
  return form.finish({}, () => ({ act: 'due-list', village, date }), { village, date })
}

/** `COVER [village]`, `MISSED [village]`. */
export function readOfVillage(act: 'coverage' | 'missed-list'): ActReader {
  return (tokens, scope) => {
    const form = openForm(tokens, scope)
    const village = form.optional(takeVillage) ?? null
    return form.finish({}, () => ({ act, village }))
  }
}

/** Words behind an act that needs none mean that something else is meant. */
function tooManyWords(tokens: Tokens): Trouble {
  return trouble('not-understood', { tokens })
}

/** `CARD card`. */
export const readCardStatus: ActReader = (tokens, scope) => {
  const form = openForm(tokens, scope)
  const card = form.needed('card-missing', takeCard)
  return form.finish({ card }, (parts) => ({ act: 'card-status', ...parts }))
}

/** `UNDO [card]`. */
export const readUndo: ActReader = (tokens, scope) => {
  const words = unreadWords(tokens, scope)
  if (words.length === 0) return { act: 'undo', card: null }
  const card = takeCard(words, scope)
  if (card.kind !== 'taken')
    return card.kind === 'absent' || card.code === 'card-missing' ? tooManyWords(words) : card
  return card.rest.length === 0 ? { act: 'undo', card: card.value } : tooManyWords(card.rest)
}

/** `SEEN [reference]`. */
export const readSeen: ActReader = (tokens, scope) => {
  const [reference, ...more] = unreadWords(tokens, scope)
  if (reference === undefined) return { act: 'acknowledge', reference: null }
  return more.length === 0 && /\d/.test(reference.text)
    ? { act: 'acknowledge', reference: reference.text }
    : tooManyWords([reference, ...more])
}

/** An act of one word: WHEN, STOP, YES. */
export function readBare(
  act: 'set-pin' | 'next-page' | 'next-date' | 'move-later' | 'stop' | 'start' | 'answer-yes' | 'answer-no',
): ActReader {
  return (tokens, scope) => {
    const words = unreadWords(tokens, scope)
    return words.length === 0 ? { act } : tooManyWords(words)
  }
}

/** The topic that all of some words name: an act, a vaccine, or a subject of its own. */
function topicOf(words: Tokens, vocabulary: Vocabulary): string | undefined {
  const topic = matchPhrase(vocabulary.topics, words, 0)
  if (topic?.length === words.length) return topic.meanings[0]
  const vaccine = vaccineNameAt(words, 0, vocabulary)
  return vaccine.kind === 'name' && vaccine.length === words.length ? vaccine.vaccine : undefined
}

/** Longest topic that nobody has foreseen; a longer one is a message for a person. */
const TOPIC_WORDS = 2

/** `HELP [topic]`. A topic may be a small word: HELP CARD. */
export const readHelp: ActReader = (tokens, scope) => {
  const words = unreadWords(tokens, scope)
  const topic = topicOf(tokens, scope.vocabulary) ?? topicOf(words, scope.vocabulary)
  if (topic !== undefined || words.length === 0) return { act: 'help', topic: topic ?? null }
  if (scope.from === 'parent' || words.length > TOPIC_WORDS) return tooManyWords(words)
  return { act: 'help', topic: said(words).toLocaleUpperCase('en') }
}

/** `LANGUAGE name`, and the name of a language alone. */
export const readLanguage: ActReader = (tokens, scope) => {
  const { languageNames, languageCodes } = scope.vocabulary
  const words = unreadWords(tokens, scope)
  const match = matchPhrase(languageNames, words, 0)
  // A code may be a small word too: "en".
  const codes = match?.length === words.length ? match.meanings : [said(tokens), said(words)]
  const code = codes.map((text) => text.toLowerCase()).find((text) => languageCodes.has(text))
  return code !== undefined ? { act: 'set-language', language: code } : tooManyWords(words)
}
