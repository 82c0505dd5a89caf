import { formatDay } from '../days/day.ts'
import { forecast } from './forecast.ts'
import type {
  ChildFacts,
  Forecast,
  GivenDose,
  JudgedDose,
  Limit,
  NextDose,
  Verdict,
} from './forecast-types.ts'
import { openHistory, outsideBecause } from './rules-in-force.ts'
import type { Schedule } from './schedule.ts'

/** Why each date and each verdict of a forecast is what it is: one line each. */
export interface Explanation {
  /** In the order the doses were handed in, one line per series. */
  readonly given: readonly (readonly string[])[]
  /** In the order of `Forecast.next`. */
  readonly next: readonly {
    readonly earliest: string
    readonly due: string
    readonly overdue: string | null
    readonly latest: string | null
  }[]
}

/** Puts the rule and the arithmetic behind a forecast in words. */
export function explain(schedule: Schedule, child: ChildFacts, made: Forecast): Explanation {
  const telling: Telling = { schedule, child, made }
  return {
    given: made.given.map((dose) => dose.counts.map((verdict) => verdictLine(telling, dose, verdict))),
    next: made.next.map((next) => nextLines(telling, next)),
  }
}

interface Telling {
  readonly schedule: Schedule
  readonly child: ChildFacts
  readonly made: Forecast
}

function nextLines(telling: Telling, next: NextDose): Explanation['next'][number] {
  const { earliest, due, overdue, latest } = next.limits
  const name = `${next.vaccine} ${next.dose}`
  const how = (limit: Limit): string => `${formatDay(limit.on)}: ${reckoning(telling, next, limit)}`
  return {
    earliest: `${name} not before ${how(earliest)}`,
    due: `${name} asked for on ${how(due)}`,
    overdue: overdue === null ? null : `${name} late from ${how(overdue)}`,
    latest: latest === null ? null : `${name} not after ${formatDay(latest.on)}: ${lastDay(telling, latest)}`,
  }
}

function verdictLine(telling: Telling, dose: JudgedDose, verdict: Verdict): string {
  const given = `${dose.vaccine} on ${formatDay(dose.on)}`
  return verdict.valid
    ? `${given} ${countsBecause(telling, dose, verdict)}`
    : `${given} ${objection(telling, dose, verdict)}`
}

function countsBecause(telling: Telling, dose: JudgedDose, verdict: Verdict): string {
  const counts = `counts as ${verdict.series} ${verdict.dose}`
  const asked = askedBefore(telling, dose, verdict.series)
  if (asked === undefined || telling.schedule.accepts === 'every-dose') return `${counts}: as recorded`
  const { earliest } = asked.limits
  const grace = dose.on < earliest.on ? `, within ${telling.schedule.graceDays} days of grace` : ''
  return `${counts}: not before ${formatDay(earliest.on)}, ${reckoning(telling, asked, earliest)}${grace}`
}

/** What was asked for just before a dose was given. */
function askedBefore({ schedule, child }: Telling, dose: GivenDose, series: string): NextDose | undefined {
  const given = child.given.filter(({ on }) => on < dose.on)
  return forecast(schedule, { ...child, putOff: [], given }, dose.on).next.find(
    (next) => next.series === series,
  )
}

function objection(telling: Telling, dose: JudgedDose, verdict: Verdict): string {
  const name = verdict.dose === null ? verdict.series : `${verdict.series} ${verdict.dose}`
  return `does not count as ${name}: ${objectionDetail(telling, dose, verdict)}`
}

function objectionDetail(telling: Telling, dose: JudgedDose, verdict: Verdict): string {
  const { reason, missed, series } = verdict
  if (missed !== null) {
    const day = formatDay(missed.on)
    return reason === 'too-old'
      ? `not after ${day}, ${lastDay(telling, missed)}`
      : `not before ${day}, ${reckoning(telling, verdict, missed)}`
  }
  switch (reason) {
    case 'repeat-same-day':
      return 'a series has one dose a day'
    case 'before-birth':
      return `the child was born on ${formatDay(telling.child.birthOn)}`
    case 'future':
      return 'that day has not come yet'
    case 'surplus':
      return 'the series was finished before'
    case 'not-counted':
      return standsOutside(telling, dose, series)
    default:
      return 'the dose it is counted from has not been given'
  }
}

function standsOutside({ schedule, child }: Telling, dose: JudgedDose, id: string): string {
  const series = schedule.series.find((one) => one.id === id)
  const why = series === undefined ? null : outsideBecause(openHistory(schedule, child), series, dose)
  return why ?? 'the series is not for this child'
}

/** `4 months after FIPV 1 on 2026-04-17`. */
function reckoning({ child }: Telling, { series }: { series: string }, { add, since, on }: Limit): string {
  if (since === 'birth')
    return isNothing(add) ? 'from birth' : `${add.text} after birth on ${formatDay(child.birthOn)}`
  if (since === 'clinician') return 'put off by a clinician'
  if (since === 'due') return `${add.text} after it is due`
  const start = `${doseName(since, series)} on ${formatDay(since.on)}`
  return isNothing(add) || on === since.on ? `with ${start}` : `${add.text} after ${start}`
}

function isNothing({ months, days }: Limit['add']): boolean {
  return months === 0 && days === 0
}

/** The last day a dose may be given is the day before the child reaches an age. */
function lastDay({ child }: Telling, { add }: Limit): string {
  return `only before ${add.text} after birth on ${formatDay(child.birthOn)}`
}

/** `FIPV 1`, or `FIPV` for a dose without a number; its number in the asking series comes first. */
function doseName({ vaccine, counts }: JudgedDose, series: string): string {
  const valid = counts.filter((verdict) => verdict.valid)
  const number = (valid.find((verdict) => verdict.series === series) ?? valid[0])?.dose
  return number == null ? vaccine : `${vaccine} ${number}`
}
