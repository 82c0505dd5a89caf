import { isWithinADay } from '../../../src/core/coverage/within-a-day.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'

const birthOn = mustParseDay('2026-03-10')
const told = (minute: number) => ({ minute, isStated: false })
const on = (day: string | null) => (day === null ? null : mustParseDay(day))

// WHO indicator I05: hepatitis B within 24 hours of birth.
describe('a birth dose within 24 hours (requirement REG-11)', () => {
  test.each([
    {
      what: 'on the day of birth',
      birthMinute: null,
      givenOn: on('2026-03-10'),
      hour: null,
      verdict: true,
    },
    {
      what: 'the day after, no hour known',
      birthMinute: null,
      givenOn: on('2026-03-11'),
      hour: null,
      verdict: null,
    },
    {
      what: 'the day after, the birth hour not known',
      birthMinute: null,
      givenOn: on('2026-03-11'),
      hour: told(480),
      verdict: null,
    },
    {
      what: 'the day after, told before the hour of birth',
      birthMinute: 600,
      givenOn: on('2026-03-11'),
      hour: told(599),
      verdict: true,
    },
    {
      what: 'the day after, told at the hour of birth',
      birthMinute: 600,
      givenOn: on('2026-03-11'),
      hour: told(600),
      verdict: true,
    },
    {
      what: 'the day after, told later: it may have been given earlier',
      birthMinute: 600,
      givenOn: on('2026-03-11'),
      hour: told(601),
      verdict: null,
    },
    {
      what: 'the day after, given a minute later',
      birthMinute: 600,
      givenOn: on('2026-03-11'),
      hour: { minute: 601, isStated: true },
      verdict: false,
    },
    { what: 'two days after', birthMinute: 1439, givenOn: on('2026-03-12'), hour: told(0), verdict: false },
    { what: 'not at all', birthMinute: 600, givenOn: on(null), hour: null, verdict: false },
  ])('$what', ({ birthMinute, givenOn, hour, verdict }) => {
    expect(isWithinADay({ birthOn, birthMinute, givenOn, hour })).toBe(verdict)
  })
})
