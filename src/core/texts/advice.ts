import type { PhraseKey } from './catalogue/phrases.ts'
import type { PhraseBook } from './phrases.ts'

/** What families are told of health: what is normal, what is urgent and where to go. */
const ADVICE = [
  'aftercare-injection',
  'aftercare-bump',
  'aftercare-sore',
  'aftercare-drops',
  'aftercare-closing',
  'aftercare-urgent',
  'passed-on',
  'passed-on-urgent',
  'reaction-go-now',
] as const satisfies readonly PhraseKey[]

/** The wording of all advice in a book, by phrase. */
export function adviceTexts({ texts }: PhraseBook): Readonly<Record<string, string>> {
  return Object.fromEntries(ADVICE.map((key) => [key, texts.get(key) ?? '']))
}
