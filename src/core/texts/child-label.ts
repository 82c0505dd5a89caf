/** How a child is called in a text: what a stranger reading over a shoulder may learn. */
export type ChildNaming = 'initials' | 'first-name'

const LONGEST_NAME = 12

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' })

/**
 * A child's first name or initials, never the full name.
 * @example labelChild('Asha Temba', 'initials') // 'A.T.'
 */
export function labelChild(name: string, naming: ChildNaming): string {
  const words = name.trim().split(/\s+/u)
  if (naming === 'first-name') return clip(words[0] ?? '', LONGEST_NAME)
  return words.map((word) => (word === '' ? '' : `${clip(word, 1)}.`)).join('')
}

function clip(text: string, length: number): string {
  return Array.from(graphemes.segment(text), ({ segment }) => segment)
    .slice(0, length)
    .join('')
}
