import type { ByAge } from '../../core/coverage/age-band.ts'
import { firstOfMonth } from '../../core/coverage/report-window.ts'
import type { ReportWindow } from '../../core/coverage/report-window.ts'
import type { Measure } from '../../core/coverage/tally.ts'
import { addMonths, civilDate } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'

/** Which doses the figures of a page count: the last twelve months, this year, or children born in a year. */
export type WindowName = 'twelve-months' | 'this-year' | `born-${number}`

/** What a reader of figures can choose. */
export interface FigureChoice {
  readonly window: WindowName
  readonly byAge: ByAge
  readonly measure: Measure
  readonly denominator: 'administrative' | 'enrolled'
}

export const PLAIN_CHOICE: FigureChoice = {
  window: 'twelve-months',
  byAge: 'any',
  measure: 'crude',
  denominator: 'administrative',
}

/** Birth cohorts offered, this year's first; older ones are asked for by the coverage command. */
const COHORTS = 4

export function windowNames(today: Day): readonly WindowName[] {
  const { year } = civilDate(today)
  const cohorts = Array.from({ length: COHORTS }, (_, age) => `born-${year - age}` as const)
  return ['twelve-months', 'this-year', ...cohorts]
}

/** The window a name stands for. Twelve months are the eleven before this one, and this one so far. */
export function windowNamed(name: WindowName, today: Day): ReportWindow {
  if (name === 'twelve-months')
    return { kind: 'period', fromOn: addMonths(firstOfMonth(today), -11), toOn: today }
  if (name === 'this-year') return { kind: 'period', fromOn: firstOfYear(today), toOn: today }
  return { kind: 'cohort', birthYear: Number(name.slice('born-'.length)) }
}

function firstOfYear(today: Day): Day {
  return addMonths(firstOfMonth(today), 1 - civilDate(today).month)
}
