import type { MonthEnd } from '../days/day.ts'
import type { Length } from '../schedule/length.ts'
import type { DoseRule, Schedule, Series } from '../schedule/schedule.ts'
import type { TargetBase } from './target.ts'

/** One numbered dose of a schedule, as the indicators see it. */
export interface SheetDose {
  readonly series: string
  readonly dose: number
  /** `null`: the schedule gives it to some children only, so neither births nor infants are its target. */
  readonly base: TargetBase | null
  /** Age at which a child who is never late has it. */
  readonly dueAge: Length
  /** Age from which the dose is no longer in time; `null` when no line is drawn. */
  readonly lateFrom: Length | null
  /** True for a dose that every child should have had before the first birthday. */
  readonly isInfantDose: boolean
}

/** The numbered doses of a schedule, in its order. */
export interface DoseSheet {
  readonly monthEnd: MonthEnd
  readonly doses: readonly SheetDose[]
}

/** A dose named for an indicator; the first series that a schedule has is meant. */
export interface DoseName {
  readonly series: readonly string[]
  readonly dose: number
}

/** A national age from which a dose is late, in place of the schedule's own. */
export interface LateAge extends DoseName {
  readonly months: number
}

const BIRTH: Length = { months: 0, days: 0, text: 'birth' }
const FIRST_BIRTHDAY: Length = { months: 12, days: 0, text: '12 months' }

/** Mean length of a month of the Gregorian calendar; it only puts ages in order, it never makes a date. */
const DAYS_A_MONTH = 30.436_875
const inDays = (age: Length): number => age.months * DAYS_A_MONTH + age.days

/** Reads the doses off a schedule's plain rules: the ages of a child who is never late and at no special risk. */
export function doseSheet(schedule: Schedule, lateAges: readonly LateAge[] = []): DoseSheet {
  const doses = schedule.series.flatMap(seriesSheet)
  return {
    monthEnd: schedule.monthEnd,
    doses: doses.map((dose) => ({ ...dose, lateFrom: nationalAge(dose, lateAges) ?? dose.lateFrom })),
  }
}

function nationalAge({ series, dose }: SheetDose, lateAges: readonly LateAge[]): Length | null {
  const found = lateAges.find((age) => age.series.includes(series) && age.dose === dose)
  return found === undefined ? null : { months: found.months, days: 0, text: `${found.months} months` }
}

function seriesSheet(series: Series): SheetDose[] {
  const isForAll = series.onlyFor === null
  const dueAges: Length[] = []
  return series.doses.map((rule) => {
    const due = dueAge(rule, series.index, dueAges)
    const lateFrom = overdueAge(rule.overdue, due, dueAges.at(-1) ?? BIRTH)
    dueAges.push(due)
    return {
      series: series.id,
      dose: rule.number,
      dueAge: due,
      base: isForAll ? (inDays(due) === 0 ? 'live-births' : 'surviving-infants') : null,
      lateFrom,
      isInfantDose: isForAll && inDays(due) < inDays(FIRST_BIRTHDAY),
    }
  })
}

/** When every usual wait is over; one for another series is left out, since a dose due by age follows its own. */
function dueAge({ waits }: DoseRule, own: number, earlier: readonly Length[]): Length {
  const ends = waits.flatMap(({ since, usual }) => {
    if (since === 'birth') return [usual]
    if (since !== 'previous' && since.series !== own) return []
    const from = since === 'previous' ? earlier.at(-1) : earlier[since.dose - 1]
    return from === undefined ? [] : [together(from, usual)]
  })
  return ends.reduce((a, b) => (inDays(b) > inDays(a) ? b : a), BIRTH)
}

function overdueAge(rule: DoseRule['overdue'], due: Length, previous: Length): Length | null {
  if (rule === null) return null
  return together({ age: BIRTH, due, previous }[rule.kind], rule.length)
}

function together(a: Length, b: Length): Length {
  return { months: a.months + b.months, days: a.days + b.days, text: `${a.text} + ${b.text}` }
}

/** Finds the named dose on a sheet; `undefined` when the schedule has none of it. */
export function findDose(sheet: DoseSheet, name: DoseName): SheetDose | undefined {
  const series = name.series.find((code) => sheet.doses.some((dose) => dose.series === code))
  return sheet.doses.find((dose) => dose.series === series && dose.dose === name.dose)
}
