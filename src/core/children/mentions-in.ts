/** What in words may be a child: identifiers of records, and eight digits as cards have them, however they are grouped. */
export interface Mentions {
  readonly ids: readonly string[]
  readonly cards: readonly string[]
}

const ID = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g
const CARD = /(?<![\d-])\d{4}[ -]?\d{4}(?![\d-])/g

/**
 * Finds what may lead to children in something that is handed out.
 * @example mentionsIn('5800 1043: BCG') // { ids: [], cards: ['58001043'] }
 */
export function mentionsIn(words: string): Mentions {
  const cards = (words.match(CARD) ?? []).map((card) => card.replace(/\D/g, ''))
  return { ids: [...new Set(words.match(ID))], cards: [...new Set(cards)] }
}
