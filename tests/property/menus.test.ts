import fc from 'fast-check'
import { addDays, mustParseDay } from '../../src/core/days/day.ts'
import { beginDialogue, resumeDialogue } from '../../src/core/menus/dialogue.ts'
import { KEYS, pagesOf, withSlip } from '../../src/core/menus/pages.ts'
import { dialogueSchema } from '../../src/core/menus/step.ts'
import type { Dialogue } from '../../src/core/menus/step.ts'
import { readTypedDay, writeTypedDay } from '../../src/core/menus/typed-day.ts'
import type { View } from '../../src/core/menus/view.ts'
import { homeOf } from '../../src/core/menus/view-of.ts'
import { fitsScreen } from '../../src/core/texts/segments.ts'
import { aCaller, bareWorld, CARD, fullWorld, LANGUAGES, shown, TODAY, turn } from '../support/menu-world.ts'

const CALENDARS = ['gregory', 'ethiopic', 'islamic-umalqura', 'persian', 'buddhist'] as const

const language = fc.constantFrom(...LANGUAGES)
const role = fc.constantFrom('vaccinator' as const, 'manager' as const, 'parent' as const)

/** What people and broken networks send: mostly keys and entries, some of it anything at all. */
const typed = fc.oneof(
  { weight: 12, arbitrary: fc.constantFrom('1', '2', '3', '4', '5', '6', '7', '8', '9', '0', '00') },
  {
    weight: 4,
    arbitrary: fc.constantFrom(CARD, '4821 7738', '12102026', '2311', '07700 900123', 'Asha', '24'),
  },
  { weight: 2, arbitrary: fc.string({ unit: 'binary', maxLength: 200 }) },
  { weight: 1, arbitrary: fc.string({ unit: 'grapheme', maxLength: 40 }) },
)

describe('a dialogue, whatever is typed', () => {
  const worlds = new Map(LANGUAGES.map((each) => [each, [fullWorld(each), bareWorld(each)] as const]))
  const walk = fc.tuple(language, fc.nat(1), role, fc.array(typed, { maxLength: 40 }))

  test('never throws, shows a screen that fits, can be stored, and ends by pressing back', () => {
    fc.assert(
      fc.property(walk, ([spoken, which, as, keys]) => {
        const world = worlds.get(spoken)?.[which] ?? fullWorld('en')
        let at = shown(world, beginDialogue(homeOf(as)))
        for (const key of keys) {
          at = turn(world, at.dialogue, key, { kind: 'done', text: `Stored ${key}`, card: null })
          expect([at.text, fitsScreen(at.text)]).toEqual([at.text, true])
        }
        const stored = dialogueSchema.parse(JSON.parse(JSON.stringify(at.dialogue)))
        expect(stored).toEqual(at.dialogue)
        expect(shown(world, resumeDialogue(stored, homeOf(as))).text).not.toBe('')

        let left: Dialogue = stored
        let count = 0
        for (; !left.isOver && count < 500; count += 1) left = turn(world, left, KEYS.back).dialogue
        expect(left.isOver).toBe(true)
      }),
      { numRuns: 2000 },
    )
  }, 120_000)
})

describe('the screens of a view', () => {
  const words = fc.oneof(
    fc.string({ unit: 'grapheme', maxLength: 300 }),
    fc.lorem({ maxCount: 60 }),
    fc.string({ unit: 'binary', maxLength: 80 }),
  )
  const view = fc.record({
    text: words,
    options: fc.array(
      words.map((label) => ({ label, move: { kind: 'home' } as const })),
      { maxLength: 30 },
    ),
  })

  test('hold all words in order and each option once, whatever they are', () => {
    fc.assert(
      fc.property(view, language, fc.integer({ min: 1, max: 5 }), (shownView: View, spoken, depth) => {
        const { book } = aCaller(spoken)
        const pages = [...pagesOf(shownView, { book, depth })]

        expect(pages.every(({ text }) => fitsScreen(withSlip(text, book)))).toBe(true)
        expect(pages.flatMap(({ options }) => [...options.values()])).toHaveLength(shownView.options.length)
        expect(pages.map(({ hasMore }) => hasMore)).toEqual(pages.map((_, at) => at < pages.length - 1))
        const keys = pages.flatMap(({ options }) => [...options.keys()])
        expect(keys.every((key) => /^[1-7]$/.test(key))).toBe(true)
      }),
      { numRuns: 2000 },
    )
  }, 120_000)

  test('join to the text where it is plain', () => {
    fc.assert(
      fc.property(fc.lorem({ maxCount: 80 }), language, (text, spoken) => {
        const { book } = aCaller(spoken)
        const pages = [...pagesOf({ text, options: [] }, { book, depth: 1 })]
        const joined = pages.map((page) => page.text.split('\n').slice(0, -1).join(' ')).join(' ')

        expect(joined.replace(/\s+/g, ' ')).toBe(text.replace(/\s+/g, ' '))
      }),
      { numRuns: 1000 },
    )
  }, 120_000)
})

describe('a day typed on a number pad', () => {
  const habits = fc.record({
    calendar: fc.constantFrom(...CALENDARS),
    isDayFirst: fc.boolean(),
  })

  test('reads back as the day that was written, in every calendar and order', () => {
    fc.assert(
      fc.property(habits, fc.integer({ min: 0, max: 365 * 18 }), (habit, ago) => {
        const day = addDays(TODAY, -ago)
        const text = writeTypedDay(day, habit, { withYear: true })

        expect(text).toMatch(/^\d{8}$/)
        expect(readTypedDay(text, { ...habit, on: TODAY, direction: 'past' })).toBe(day)
      }),
    )
  })

  test('reads back without its year within ten months', () => {
    fc.assert(
      fc.property(habits, fc.integer({ min: 0, max: 290 }), (habit, ago) => {
        const day = addDays(TODAY, -ago)
        const text = writeTypedDay(day, habit, { withYear: false })

        expect(readTypedDay(text, { ...habit, on: TODAY, direction: 'past' })).toBe(day)
      }),
    )
  })

  test.each([
    ['2311', '2026-11-23'],
    ['231126', '2026-11-23'],
    ['23112026', '2026-11-23'],
    ['20261123', '2026-11-23'],
    ['23/11', '2026-11-23'],
    ['23*11*2026', '2026-11-23'],
    ['23 11', '2026-11-23'],
  ])('%s is %s', (text, day) => {
    const habit = { calendar: 'gregory', isDayFirst: true, on: TODAY, direction: 'past' } as const

    expect(readTypedDay(text, habit)).toBe(mustParseDay(day))
  })

  test.each([
    ['3113', 'date-impossible'],
    ['2511', 'date-future'],
    ['29022026', 'date-impossible'],
    ['1', undefined],
    ['48217739', 'date-impossible'],
    ['yesterday', undefined],
  ])('%s is %s', (text, reading) => {
    const habit = { calendar: 'gregory', isDayFirst: true, on: TODAY, direction: 'past' } as const

    expect(readTypedDay(text, habit)).toBe(reading)
  })
})
