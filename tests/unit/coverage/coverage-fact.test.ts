import type { CountedDose, DoseFact } from '../../../src/core/coverage/coverage-fact.ts'
import { coverageFacts } from '../../../src/core/coverage/coverage-fact.ts'
import { formatDay, mustParseDay } from '../../../src/core/days/day.ts'
import { aSheet, aSheetDose } from '../../support/a-sheet-dose.ts'

const lateFrom = (months: number) => ({ months, days: 0, text: `${months} months` })

const sheet = aSheet(
  aSheetDose('BCG', 1, { base: 'live-births', lateFrom: lateFrom(1) }),
  aSheetDose('PENTA', 1, { lateFrom: lateFrom(3) }),
  aSheetDose('PENTA', 2, { lateFrom: lateFrom(4) }),
  aSheetDose('MCV', 2, { isInfantDose: false }),
)
const child = { village: 'v', sex: null, birthOn: mustParseDay('2025-01-31'), isInCohort: true }

/** A routine dose: `PENTA 2` counts, `PENTA 2 invalid` does not, `MCV -` stands outside the numbering. */
function dose(on: string, verdict: string): CountedDose {
  const [series = '', number, reason] = verdict.split(' ')
  const counts = {
    series,
    dose: number === '-' ? null : Number(number),
    valid: reason === undefined && number !== '-',
  }
  return { vaccine: series, on: mustParseDay(on), delivery: 'routine', counts: [counts] }
}

const shown = (facts: readonly DoseFact[]) =>
  facts.map(({ series, dose: number, crudeOn, validOn, isTimely }) =>
    [
      `${series} ${number}`,
      formatDay(crudeOn),
      validOn === null ? '-' : formatDay(validOn),
      isTimely ? 'in time' : 'late',
    ].join(' '),
  )
const factsOf = (...doses: CountedDose[]) => shown(coverageFacts(child, { doses, complete: [] }, sheet))
const ENROLLED = 'enrolled 1 2025-01-31 2025-01-31 in time'

describe('coverageFacts', () => {
  test('a child without doses is enrolled, on the day of birth', () => {
    expect(factsOf()).toEqual([ENROLLED])
  })

  test('a child who died or moved away is in no denominator, but its doses stay given', () => {
    const facts = coverageFacts(
      { ...child, isInCohort: false },
      { doses: [dose('2025-02-01', 'BCG 1')], complete: [] },
      sheet,
    )
    expect(shown(facts)).toEqual(['BCG 1 2025-02-01 2025-02-01 in time'])
  })

  test('an invalid dose is crude only, until its repeat counts', () => {
    expect(factsOf(dose('2025-03-14', 'PENTA 1'), dose('2025-03-28', 'PENTA 2 invalid'))).toEqual([
      ENROLLED,
      'PENTA 1 2025-03-14 2025-03-14 in time',
      'PENTA 2 2025-03-28 - late',
    ])
    expect(
      factsOf(
        dose('2025-03-14', 'PENTA 1'),
        dose('2025-03-28', 'PENTA 2 invalid'),
        dose('2025-05-02', 'PENTA 2'),
      ),
    ).toContain('PENTA 2 2025-03-28 2025-05-02 in time')
  })

  test('crude counts what the card shows: a too early dose takes up number one', () => {
    expect(factsOf(dose('2025-02-14', 'PENTA 1 invalid'), dose('2025-03-14', 'PENTA 1'))).toEqual([
      ENROLLED,
      'PENTA 1 2025-02-14 2025-03-14 in time',
      'PENTA 2 2025-03-14 - late',
    ])
  })

  test('a record outside the numbering shows no further dose', () => {
    const doses = [dose('2025-03-14', 'PENTA 1'), dose('2025-03-14', 'PENTA -'), dose('2025-08-01', 'MCV -')]
    expect(factsOf(...doses)).toEqual([ENROLLED, 'PENTA 1 2025-03-14 2025-03-14 in time'])
  })

  test('the first late day is late: one month after 31 January is 1 March', () => {
    expect(factsOf(dose('2025-02-28', 'BCG 1'))).toContain('BCG 1 2025-02-28 2025-02-28 in time')
    expect(factsOf(dose('2025-03-01', 'BCG 1'))).toContain('BCG 1 2025-03-01 2025-03-01 late')
  })

  test('a dose without a line to cross is in time whenever it is valid', () => {
    expect(factsOf(dose('2029-02-28', 'MCV 2'))).toContain('MCV 2 2029-02-28 2029-02-28 in time')
  })

  test('the order in which doses are handed in does not matter', () => {
    const doses = [dose('2025-03-14', 'PENTA 1'), dose('2025-02-01', 'BCG 1'), dose('2025-04-18', 'PENTA 2')]
    expect(factsOf(...doses.toReversed())).toEqual(factsOf(...doses))
  })

  // Fully immunised: every infant dose, each valid (Ethiopia Health Extension module, table 10.2).
  test('a child is fully immunised on the day of the last infant dose, second-year doses apart', () => {
    const doses = [dose('2025-02-01', 'BCG 1'), dose('2025-03-14', 'PENTA 1'), dose('2025-06-18', 'PENTA 2')]
    expect(factsOf(...doses.slice(0, 2))).not.toContainEqual(expect.stringMatching('fully'))
    expect(factsOf(...doses)).toContain('fully-immunised 1 2025-06-18 2025-06-18 late')
  })

  test('an invalid infant dose leaves the child fully immunised by record only', () => {
    const doses = [
      dose('2025-02-01', 'BCG 1'),
      dose('2025-03-14', 'PENTA 1'),
      dose('2025-03-28', 'PENTA 2 invalid'),
    ]
    expect(factsOf(...doses)).toContain('fully-immunised 1 2025-03-28 - late')
  })

  test('a series finished with fewer doses asks for no more', () => {
    const doses = [dose('2025-02-01', 'BCG 1'), dose('2025-03-14', 'PENTA 1')]
    const facts = shown(coverageFacts(child, { doses, complete: ['BCG', 'PENTA'] }, sheet))
    expect(facts).toContain('fully-immunised 1 2025-03-14 2025-03-14 in time')
  })

  // WHO indicators I01–I34 say "routine" in words and filter nothing in the formula; the words are kept.
  test('campaign doses are counted apart, by vaccine, and leave the routine facts unchanged', () => {
    const routine = [dose('2025-02-01', 'BCG 1'), dose('2025-03-14', 'PENTA 1')]
    const campaign = { ...dose('2025-03-01', 'PENTA 1'), vaccine: 'BOPV', delivery: 'campaign' as const }
    const again = { ...campaign, on: mustParseDay('2025-04-01') }
    expect(factsOf(...routine, campaign, again)).toEqual([
      ...factsOf(...routine),
      'BOPV 1 2025-03-01 - late',
      'BOPV 2 2025-04-01 - late',
    ])
  })
})
