import fc from 'fast-check'
import type { ByAge } from '../../src/core/coverage/age-band.ts'
import { ageBand, bandsBefore } from '../../src/core/coverage/age-band.ts'
import type { CountedChild, DoseFact } from '../../src/core/coverage/coverage-fact.ts'
import { wilsonInterval } from '../../src/core/coverage/coverage-ratio.ts'
import type { VillageCounts } from '../../src/core/coverage/coverage-rows.ts'
import { coverageRows } from '../../src/core/coverage/coverage-rows.ts'
import { aSheet, aSheetDose } from '../support/a-sheet-dose.ts'
import { percentText } from '../../src/core/coverage/shown-ratio.ts'
import { publishedRows } from '../../src/core/coverage/suppression.ts'
import type { CountedFacts, CountedCell, Tally } from '../../src/core/coverage/tally.ts'
import { cellKey, tally, tallyChange } from '../../src/core/coverage/tally.ts'
import type { Day } from '../../src/core/days/day.ts'
import { addMonths, civilDate, mustParseDay } from '../../src/core/days/day.ts'

const FROM = mustParseDay('2023-01-01')
const day = fc.integer({ min: 0, max: 1500 }).map((days) => (FROM + days) as Day)
const sex = fc.constantFrom('female' as const, 'male' as const, null)

const counted: fc.Arbitrary<CountedChild> = fc.record({
  village: fc.constantFrom('Amber Ford', 'High Elms', 'Tall Reeds'),
  sex,
  birthOn: day,
  isInCohort: fc.boolean(),
})

function factOf(birthOn: Day): fc.Arbitrary<DoseFact> {
  const age = fc.integer({ min: 0, max: 1100 })
  return fc
    .record({
      delivery: fc.constantFrom('routine' as const, 'campaign' as const),
      series: fc.constantFrom('BCG', 'PENTA', 'MCV'),
      dose: fc.integer({ min: 1, max: 3 }),
      crudeAge: age,
      validAge: fc.option(age),
      isTimely: fc.boolean(),
    })
    .map(({ crudeAge, validAge, isTimely, ...fact }) => ({
      ...fact,
      crudeOn: (birthOn + crudeAge) as Day,
      validOn: validAge === null ? null : ((birthOn + validAge) as Day),
      isTimely: isTimely && validAge !== null,
    }))
}

const child: fc.Arbitrary<CountedFacts> = counted.chain((one) =>
  fc.record({ child: fc.constant(one), facts: fc.array(factOf(one.birthOn), { maxLength: 8 }) }),
)
const children = fc.array(child, { maxLength: 12 })

/** The sums as a database would hold them after the changes; a row of zeros is a row that went. */
function applied(held: Tally, changes: readonly CountedCell[]): Tally {
  const cells = new Map(held)
  for (const { cell, sums } of changes) {
    const old = cells.get(cellKey(cell))?.sums ?? { crude: 0, valid: 0, timely: 0 }
    const sum = {
      crude: old.crude + sums.crude,
      valid: old.valid + sums.valid,
      timely: old.timely + sums.timely,
    }
    if (Object.values(sum).every((count) => count === 0)) cells.delete(cellKey(cell))
    else cells.set(cellKey(cell), { cell, sums: sum })
  }
  return cells
}

const listed = <T>(value: T | null | undefined): T[] => (value == null ? [] : [value])

const total = (cells: Iterable<CountedCell>, measure: 'crude' | 'valid' | 'timely'): number =>
  [...cells].reduce((sum, { sums }) => sum + sums[measure], 0)

describe('tally', () => {
  test('applying each change in turn agrees exactly with a recount', () => {
    const steps = fc.array(fc.tuple(fc.nat({ max: 5 }), fc.option(child)), { maxLength: 30 })
    fc.assert(
      fc.property(steps, (changes) => {
        const register = new Map<number, CountedFacts>()
        let held: Tally = new Map()
        for (const [place, after] of changes) {
          held = applied(held, tallyChange(listed(register.get(place)), listed(after)))
          if (after === null) register.delete(place)
          else register.set(place, after)
        }
        expect(held).toEqual(tally(register.values()))
      }),
    )
  })

  test('adding a child and taking it away again leaves the sums as they were', () => {
    fc.assert(
      fc.property(children, child, (before, one) => {
        const held = tally(before)
        const added = applied(held, tallyChange([], [one]))
        expect(applied(added, tallyChange([one], []))).toEqual(held)
        for (const { sums } of tallyChange([one], [one]))
          expect(sums).toEqual({ crude: 0, valid: 0, timely: 0 })
      }),
    )
  })

  test('the order of children and of their facts does not matter', () => {
    fc.assert(
      fc.property(children, (some) => {
        const turned = some
          .map(({ child: one, facts }) => ({ child: one, facts: facts.toReversed() }))
          .reverse()
        expect(tally(turned)).toEqual(tally(some))
      }),
    )
  })

  test('changes come in key order, so that no two transactions wait for each other', () => {
    fc.assert(
      fc.property(children, children, (before, after) => {
        const keys = tallyChange(before, after).map(({ cell }) => cellKey(cell))
        expect(keys).toEqual(keys.toSorted())
      }),
    )
  })

  test('the cells add up to every fact of the children they hold', () => {
    fc.assert(
      fc.property(children, (some) => {
        const cells = [...tally(some).values()]
        const cohort = cells.filter(({ cell }) => cell.isInCohort)
        const facts = some.flatMap((one) => one.facts)
        const followed = some.filter((one) => one.child.isInCohort).flatMap((one) => one.facts)
        expect(total(cells, 'crude')).toBe(facts.length)
        expect(total(cohort, 'crude')).toBe(followed.length)
        expect(total(cells, 'valid')).toBe(facts.filter((fact) => fact.validOn !== null).length)
        expect(total(cohort, 'timely')).toBe(followed.filter((fact) => fact.isTimely).length)
      }),
    )
  })

  test('the sums over birth year, age band, month, village and series each equal the total', () => {
    const breakdowns = ['birthYear', 'ageBand', 'monthOn', 'village', 'series'] as const
    fc.assert(
      fc.property(children, fc.constantFrom(...breakdowns), (some, breakdown) => {
        const cells = [...tally(some).values()]
        const values = new Set(cells.map(({ cell }) => cell[breakdown]))
        const sums = [...values].map((value) =>
          total(
            cells.filter(({ cell }) => cell[breakdown] === value),
            'crude',
          ),
        )
        expect(sums.reduce((sum, part) => sum + part, 0)).toBe(total(cells, 'crude'))
      }),
    )
  })

  test('every cell counts children of its birth year and doses of its month', () => {
    fc.assert(
      fc.property(child, (one) => {
        for (const { cell } of tally([one]).values()) {
          expect(cell.birthYear).toBe(civilDate(one.child.birthOn).year)
          expect(civilDate(cell.monthOn).dayOfMonth).toBe(1)
        }
      }),
    )
  })
})

test('by an age means before the birthday', () => {
  const ages: fc.Arbitrary<ByAge> = fc.constantFrom('12m', '24m', 'any')
  fc.assert(
    fc.property(day, fc.integer({ min: 0, max: 1100 }), ages, (birthOn, age, byAge) => {
      const on = (birthOn + age) as Day
      const isBefore = byAge === 'any' || on < addMonths(birthOn, byAge === '12m' ? 12 : 24)
      expect(bandsBefore(byAge).includes(ageBand(birthOn, on))).toBe(isBefore)
    }),
  )
})

test('a Wilson interval holds its share and stays between 0 and 100', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 5000 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (denominator, share) => {
        const numerator = Math.floor(denominator * share)
        const interval = wilsonInterval(numerator, denominator)
        const percent = (100 * numerator) / denominator
        expect(interval?.low).toBeGreaterThanOrEqual(0)
        expect(interval?.high).toBeLessThanOrEqual(100)
        expect(interval?.low).toBeLessThanOrEqual(percent + 1e-9)
        expect(interval?.high).toBeGreaterThanOrEqual(percent - 1e-9)
      },
    ),
  )
})

test('a printed percentage is on the same side of every cut-off as the true one', () => {
  const cutOff = fc.constantFrom(10, 80, 90)
  fc.assert(
    fc.property(
      fc.integer({ min: -50, max: 3000 }),
      fc.integer({ min: 1, max: 2500 }),
      cutOff,
      (count, of, line) => {
        const printed = Number(percentText(count, of, [line]))
        expect(printed >= line).toBe((100 * count) / of >= line)
        expect(Math.abs(printed - (100 * count) / of)).toBeLessThan(0.1)
      },
    ),
  )
})

test('no published table lets a withheld count be worked out by subtraction', () => {
  const sheet = aSheet(aSheetDose('BCG', 1, { base: 'live-births' }))
  const place = fc.record({
    children: fc.integer({ min: 0, max: 40 }),
    share: fc.double({ min: 0, max: 1, noNaN: true }),
  })
  fc.assert(
    fc.property(
      fc.array(place, { minLength: 1, maxLength: 6 }),
      fc.boolean(),
      (places, isDenominatorCounted) => {
        const villages: VillageCounts[] = places.map(({ children: of, share }, index) => ({
          name: `village ${index}`,
          denominators: { 'live-births': of, 'surviving-infants': of },
          count: () => Math.floor(of * share),
        }))
        const rows = coverageRows(villages, sheet.doses, 10)
        const published = publishedRows(rows, { countAtLeast: 5, isDenominatorCounted })

        const whole = published.at(-1)?.numerator
        const hidden = published.slice(0, -1).filter((row) => row.numerator === null)
        const shown = published.slice(0, -1).reduce((sum, row) => sum + (row.numerator ?? 0), 0)
        const small = published.filter(
          (row) => row.numerator !== null && row.numerator > 0 && row.numerator < 5,
        )

        expect(small).toEqual([])
        if (hidden.length > 0 && whole != null) {
          expect(hidden.length).toBeGreaterThanOrEqual(2)
          const group = whole - shown
          expect(group === 0 || group >= 5).toBe(true)
        }
      },
    ),
  )
})
