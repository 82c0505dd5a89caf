import type { PhraseBook } from '../texts/phrases.ts'
import { say } from '../texts/phrases.ts'
import { fitsScreen } from '../texts/segments.ts'
import { tidy } from '../texts/tidy.ts'
import type { Option, View } from './view.ts'

/** Cuts what a step shows into screens: words and options in order, the same few keys below each. */

/** Keys that mean the same on every screen. */
export const KEYS = { back: '0', home: '00', more: '9', final: '8' } as const

/** Numbers left for options; each page counts them anew. */
const MAX_OPTIONS = 7

/** No screen holds more, whatever the signs; longer texts are not even measured. */
const MOST_CHARACTERS = 182

/** One screen, and what its numbers stand for. */
export interface Page {
  readonly text: string
  readonly options: ReadonlyMap<string, Option>
  readonly hasMore: boolean
}

/** What stands around a screen depends on these. */
export interface Frame {
  readonly book: PhraseBook
  /** Steps of the way back, this one included. */
  readonly depth: number
}

type Piece =
  { readonly kind: 'word'; readonly text: string } | { readonly kind: 'option'; readonly option: Option }

/** The screens of a view: at least one, each with room for a word about a wrong key. */
export function* pagesOf(view: View, frame: Frame): Generator<Page, void> {
  const words = frameWords(view, frame)
  let rest: readonly Piece[] = piecesOf(view, frame.book)
  for (let index = 0; index === 0 || rest.length > 0; index += 1) {
    const page = fillPage(rest, index, words)
    yield page
    rest = page.rest
  }
}

/** A page above which a word about a wrong key stands. */
export function withSlip(text: string, book: PhraseBook): string {
  return `${say(book, 'screen-wrong-key')}\n${text}`
}

function piecesOf({ text, options }: View, book: PhraseBook): Piece[] {
  // USSD carries no national tables: accents go where they alone would cost half the screen.
  const plain = (words: string): string =>
    book.alphabet === 'gsm7' ? tidy(words, { accents: 'drop' }) : words
  const words = text.split(/(?<=\s)/u).filter((word) => word !== '')
  return [
    ...words.map((word): Piece => ({ kind: 'word', text: plain(word) })),
    ...options.map((option): Piece => ({
      kind: 'option',
      option: { ...option, label: plain(option.label) },
    })),
  ]
}

/** The words around every page of a view, said once. */
interface FrameWords {
  /** Above a page after a wrong key. */
  readonly hint: string
  /** Lines with a number, at most. */
  readonly mostOptions: number
  /** Below a page, the fullest first; the home menu is named where there is room for it. */
  readonly footers: (index: number, hasMore: boolean) => readonly [full: string, plain: string]
}

function frameWords({ ends, optionsAScreen = MAX_OPTIONS }: View, { book, depth }: Frame): FrameWords {
  const end = `${KEYS.back} ${say(book, 'screen-end')}`
  const back = `${KEYS.back} ${say(book, 'screen-back')}`
  const home = ` ${KEYS.home} ${say(book, 'screen-home')}`
  const more = ` ${KEYS.more} ${say(book, 'screen-more')}`
  return {
    hint: withSlip('', book),
    mostOptions: optionsAScreen,
    footers: (index, hasMore) => {
      if (ends === true && !hasMore) return ['', '']
      const away = depth + index
      const next = hasMore ? more : ''
      const plain = (away === 1 ? end : back) + next
      // One key from the home menu, back and home are the same.
      return [away > 2 ? back + home + next : plain, plain]
    },
  }
}

interface FilledPage extends Page {
  readonly rest: readonly Piece[]
}

/** As many pieces as fit; a piece too long for a screen of its own is cut. */
function fillPage(pieces: readonly Piece[], index: number, words: FrameWords): FilledPage {
  const last =
    lengthOf(pieces) > MOST_CHARACTERS ? undefined : draftThatFits(pieces, words, words.footers(index, false))
  if (last !== undefined) return { ...last, hasMore: false, rest: [] }
  const footers = words.footers(index, true)
  let taken = 0
  while (fits(draft(pieces.slice(0, taken + 1), footers[1]), words)) taken += 1
  const page = draftThatFits(pieces.slice(0, taken), words, footers)
  if (taken === 0 || page === undefined) return fillPage(cutFirst(pieces), index, words)
  return { ...page, hasMore: true, rest: pieces.slice(taken) }
}

function draftThatFits(
  pieces: readonly Piece[],
  words: FrameWords,
  footers: readonly string[],
): Draft | undefined {
  return footers.map((footer) => draft(pieces, footer)).find((page) => fits(page, words))
}

function lengthOf(pieces: readonly Piece[]): number {
  const lengths = pieces.map((piece) => (piece.kind === 'word' ? piece.text : piece.option.label).length)
  return lengths.reduce((sum, length) => sum + length, 0)
}

type Draft = Omit<Page, 'hasMore'>

function draft(pieces: readonly Piece[], below: string): Draft {
  const words = pieces.map((piece) => (piece.kind === 'word' ? piece.text : '')).join('')
  const options = new Map<string, Option>()
  let number = 0
  for (const piece of pieces) {
    if (piece.kind === 'word') continue
    if (!isFinal(piece.option)) number += 1
    options.set(isFinal(piece.option) ? KEYS.final : String(number), piece.option)
  }
  const lines = [...options].map(([key, { label }]) => `${key} ${label}`)
  return { text: [words.trim(), ...lines, below].filter((line) => line !== '').join('\n'), options }
}

function fits({ text, options }: Draft, { hint, mostOptions }: FrameWords): boolean {
  const numbered = [...options.values()].filter((option) => !isFinal(option))
  return numbered.length <= mostOptions && fitsScreen(hint + text)
}

function isFinal(option: Option): boolean {
  return 'isFinal' in option && option.isFinal
}

/** A word comes apart into two; a label loses its end. */
function cutFirst([first, ...others]: readonly Piece[]): Piece[] {
  if (first === undefined) return []
  if (first.kind === 'word') {
    const [front, back] = halves(first.text)
    return [{ kind: 'word', text: front }, { kind: 'word', text: back }, ...others]
  }
  const [label] = halves(first.option.label)
  return [{ kind: 'option', option: { ...first.option, label } }, ...others]
}

function halves(text: string): readonly [string, string] {
  const characters = Array.from(text)
  const middle = Math.floor(characters.length / 2)
  return [characters.slice(0, middle).join(''), characters.slice(middle).join('')]
}
