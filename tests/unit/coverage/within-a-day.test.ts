import { isWithinADay } from '../../../src/core/coverage/within-a-day.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'

const birthOn = mustParseDay('2026-03-10')
const on = (day: string | null) => (day === null ? null : mustParseDay(day))

// WHO indicator I05: hepatitis B within 24 hours of birth.
describe('a birth dose within 24 hours (requirement REG-11)', () => {
  test.each([
    {
      what: 'on the day of birth',
      birthMinute: null,
      givenOn: on('2026-03-10'),
      givenBy: null,
      verdict: true,
    },
    {
      what: 'the day after, no hour known',
      birthMinute: null,
      givenOn: on('2026-03-11'),
      givenBy: null,
      verdict: null,
    },
    {
      what: 'the day after, the birth hour not known',
      birthMinute: null,
      givenOn: on('2026-03-11'),
      givenBy: 480,
      verdict: null,
    },
    {
      what: 'the day after, told before the hour of birth',
      birthMinute: 600,
      givenOn: on('2026-03-11'),
      givenBy: 599,
      verdict: true,
    },
    {
      what: 'the day after, told at the hour of birth',
      birthMinute: 600,
      givenOn: on('2026-03-11'),
      givenBy: 600,
      verdict: true,
    },
    {
      what: 'the day after, told later: it may have been given earlier',
      birthMinute: 600,
      givenOn: on('2026-03-11'),
      givenBy: 601,
      verdict: null,
    },
    { what: 'two days after', birthMinute: 1439, givenOn: on('2026-03-12'), givenBy: 0, verdict: false },
    { what: 'not at all', birthMinute: 600, givenOn: on(null), givenBy: null, verdict: false },
  ])('$what', ({ birthMinute, givenOn, givenBy, verdict }) => {
    expect(isWithinADay({ birthOn, birthMinute, givenOn, givenBy })).toBe(verdict)
  })
})
