import { mustBeValid } from '../../../src/core/checked-data.ts'
import { pagesOf, withSlip } from '../../../src/core/menus/pages.ts'
import { option } from '../../../src/core/menus/view.ts'
import type { View } from '../../../src/core/menus/view.ts'
import { withOverrides } from '../../../src/core/texts/check-phrase-book.ts'
import type { PhraseBook } from '../../../src/core/texts/phrases.ts'
import { fitsScreen, measure } from '../../../src/core/texts/segments.ts'
import { aCaller } from '../../support/menu-world.ts'

const { book: english } = aCaller('en')
const { book: hindi } = aCaller('hi')

const FRAME = ['screen-back', 'screen-end', 'screen-home', 'screen-more', 'screen-wrong-key'] as const

function textsOf(view: View, book = english, depth = 1): string[] {
  return [...pagesOf(view, { book, depth })].map(({ text }) => text)
}

const lines = (count: number) =>
  Array.from({ length: count }, (_, number) => option(`Line ${number}`, { step: 'card' }))

describe('the screens of a view', () => {
  test('are one where all fits, with the text above its lines', () => {
    expect(textsOf({ text: 'Which?', options: lines(2) })).toEqual(['Which?\n1 Line 0\n2 Line 1\n0 End'])
  })

  test('count lines anew on each page, seven at most', () => {
    const [first, second] = textsOf({ text: '', options: lines(9) }, english, 2)

    expect(first).toMatch(/^1 Line 0\n[\s\S]*\n7 Line 6\n0 Back 9 More$/)
    expect(second).toBe('1 Line 7\n2 Line 8\n0 Back 00 Menu')
  })

  test('hold fewer lines where the view asks for fewer', () => {
    const texts = textsOf({ text: '', options: lines(7), optionsAScreen: 3 }, english, 2)

    expect(texts.map((text) => text.match(/^\d Line/gm)?.length)).toEqual([3, 3, 1])
  })

  test('give the line that writes its own key', () => {
    const save = { label: 'Save', move: { kind: 'home' }, isFinal: true } as const

    expect(textsOf({ text: 'All?', options: [save, ...lines(1)] })).toEqual(['All?\n8 Save\n1 Line 0\n0 End'])
  })

  test('hold more in GSM-7 than in UCS-2', () => {
    const text = 'Fractional IPV goes into the skin, not under it. '.repeat(4)

    expect(textsOf({ text, options: [] })).toHaveLength(2)
    expect(textsOf({ text, options: [] }, hindi)).toHaveLength(4)
  })

  test('leave off accents that alone would make them UCS-2', () => {
    const [page] = textsOf({ text: 'Zoë Gonçalves', options: [] })

    expect(page).toBe('Zoe Goncalves\n0 End')
    expect(measure(page ?? '').alphabet).toBe('gsm7')
  })

  test('have nothing below the last one where the dialogue ends with it', () => {
    expect(textsOf({ text: 'Stored.', options: [], ends: true })).toEqual(['Stored.'])
  })

  test('cut a word that is longer than a screen, and shorten such a line', () => {
    const long = 'x'.repeat(400)
    const pages = textsOf({ text: long, options: [option(long, { step: 'card' })] })

    expect(pages.every((page) => fitsScreen(withSlip(page, english)))).toBe(true)
    expect(pages.join('').match(/x/g)?.length).toBeGreaterThan(400)
  })
})

describe('the words around a screen', () => {
  const worded = (book: PhraseBook, word: string) =>
    withOverrides(book, Object.fromEntries(FRAME.map((key) => [key, word])))

  test('leave room for what is between them, at their longest', () => {
    for (const [book, word] of [
      [english, 'w'.repeat(24)],
      [hindi, 'प'.repeat(12)],
    ] as const) {
      const own = mustBeValid(worded(book, word))
      const pages = textsOf({ text: 'one two three '.repeat(20), options: lines(9) }, own, 3)

      expect(pages.every((page) => fitsScreen(withSlip(page, own)))).toBe(true)
    }
  })

  test('may not be worded longer by a district', () => {
    expect(worded(english, 'w'.repeat(25)).kind).toBe('invalid')
    expect(worded(hindi, 'प'.repeat(13)).kind).toBe('invalid')
  })
})
