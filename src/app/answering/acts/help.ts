import type { SingleAct } from '../../../core/reading/act.ts'
import { render, say } from '../../../core/texts/phrases.ts'
import type { PhraseKey } from '../../../core/texts/catalogue/phrases.ts'
import type { Answer, Talk } from '../talk.ts'

/** What each topic is about: a word someone may send, or a short technique card. */
const TOPICS: Readonly<Record<string, PhraseKey>> = {
  GAVE: 'help-gave',
  NEW: 'help-new',
  DUE: 'help-due',
  CARD: 'help-card',
  OPENED: 'help-opened',
  DISCARD: 'help-discard',
  VISIT: 'help-visit',
  NOTGIVEN: 'help-not-given',
  TEMP: 'help-temperature',
  STOCK: 'help-stock',
  DOUBLE: 'help-double',
  NAME: 'help-name',
  UNDO: 'help-undo',
  COVER: 'help-cover',
  MISSED: 'help-missed',
  FIPV: 'job-aid-fipv',
  IPV: 'job-aid-fipv',
  VIAL: 'job-aid-vial',
  COLD: 'job-aid-cold',
  AFTER: 'job-aid-after',
  REACTION: 'job-aid-reaction',
}

/** HELP: what the sender may send, or one topic of it. Technique is for workers only. */
export function helpByText({ book, sender }: Talk, act: Extract<SingleAct, { act: 'help' }>): Answer {
  if (sender.kind === 'family') return { body: say(book, 'help-parent') }
  if (act.topic === null) return { body: say(book, `help-${sender.as}`) }
  const key = TOPICS[act.topic.toUpperCase()]
  return { body: key === undefined ? say(book, 'help-topics') : render(book, key, {}) }
}
