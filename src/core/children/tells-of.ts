import { nameWords } from './name-likeness.ts'

/** By what a text names a child. */
export interface Marks {
  readonly cards: readonly string[]
  readonly names: readonly string[]
}

/** A name of one word is that of many children. */
const TELLING_WORDS = 2

/** Whether words name a child: by its card, however the digits are grouped, or by its whole name, however it is spelt. */
export function tellsOf(words: string, { cards, names }: Marks): boolean {
  const digits = words.normalize('NFKC').replace(/(?<=\d)[\s.-]+(?=\d)/g, '')
  if (cards.some((card) => digits.includes(card))) return true
  const said = ` ${nameWords(words).join(' ')} `
  return names
    .map(nameWords)
    .some((name) => name.length >= TELLING_WORDS && said.includes(` ${name.join(' ')} `))
}
