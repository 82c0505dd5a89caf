import type { SingleAct } from '../../../core/reading/act.ts'
import { cautionsFor } from '../../../core/reactions/cautions.ts'
import type { Cautions } from '../../../core/reactions/cautions.ts'
import { isPhraseKey } from '../../../core/texts/catalogue/phrases.ts'
import { render, say } from '../../../core/texts/phrases.ts'
import type { PhraseBook } from '../../../core/texts/phrases.ts'
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
  PIN: 'pin-how',
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
export function helpByText({ book, sender, deps }: Talk, act: Extract<SingleAct, { act: 'help' }>): Answer {
  if (sender.kind === 'family') return { body: say(book, 'help-parent') }
  if (act.topic === null) return { body: say(book, `help-${sender.as}`) }
  const key = TOPICS[act.topic.toUpperCase()]
  if (key !== undefined) return { body: render(book, key, {}) }
  const cautions = deps.shelf.cautions.byVaccine[act.topic]
  if (cautions === undefined && !deps.shelf.vaccineCodes.has(act.topic))
    return { body: say(book, 'help-topics') }
  return { body: askBefore(book, act.topic, deps.shelf.cautions) }
}

/** What to ask before a vaccine is given; a yes goes to the supervisor, nothing is decided here. */
function askBefore(book: PhraseBook, vaccine: string, cautions: Cautions): string {
  const questions = cautionsFor(vaccine, cautions).flatMap((code) => {
    const key = `ask-${code}`
    return isPhraseKey(key) ? [render(book, key, {})] : []
  })
  return say(book, 'ask-before', { vaccine, what: questions.join('; ') })
}
