/**
 * From a child's judged doses to the facts that are counted: at most one for each numbered dose, so a child
 * counts once however often a dose was repeated. docs/indicators.md gives the definitions.
 */
import type { Day } from '../days/day.ts'
import type { Dose, Sex } from '../model.ts'
import type { Verdict } from '../schedule/forecast-types.ts'
import { later } from '../schedule/length.ts'
import type { DoseSheet, SheetDose } from './dose-sheet.ts'

/** Where and when a child counts. */
export interface CountedChild {
  /** The village the child lives in now. */
  readonly village: string
  readonly sex: Sex | null
  readonly birthOn: Day
  /** False once the child died or moved out of the district: its doses stay given, but it is in no cohort. */
  readonly isInCohort: boolean
}

/** A recorded dose with what the schedule made of it. */
export interface CountedDose {
  readonly vaccine: string
  readonly on: Day
  readonly delivery: Dose['delivery']
  readonly counts: readonly Pick<Verdict, 'series' | 'dose' | 'valid'>[]
}

/** Everything recorded of a child, judged. */
export interface CountedRecord {
  /** Withdrawn doses left out. */
  readonly doses: readonly CountedDose[]
  /** Series the child has finished, perhaps with fewer doses than the plain rule asks for. */
  readonly complete: readonly string[]
}

/** That a child has had a numbered dose, on whose word, and when. */
export interface DoseFact {
  readonly delivery: Dose['delivery']
  /** A series of the schedule, one of `MILESTONES`, or for a campaign the vaccine. */
  readonly series: string
  readonly dose: number
  /** When the record shows that many doses of the series, whatever they are worth. */
  readonly crudeOn: Day
  /** When the dose that counts under the schedule was given; `null` when none does. */
  readonly validOn: Day | null
  /** True when the valid dose came before it was late. */
  readonly isTimely: boolean
}

/** Facts about the child as a whole, counted like doses. Lower case keeps them apart from series codes. */
export const MILESTONES = {
  /** On the register; dated on the birth, so its sums are the enrolled denominators. */
  enrolled: 'enrolled',
  /** Had every infant dose; dated on the last of them. */
  fullyImmunised: 'fully-immunised',
} as const

/** Every fact of one child under one schedule, in no particular order. */
export function coverageFacts(
  child: CountedChild,
  record: CountedRecord,
  sheet: DoseSheet,
): readonly DoseFact[] {
  const byDay = record.doses.toSorted((a, b) => a.on - b.on)
  const had = routineFacts(child.birthOn, byDay, sheet)
  return [
    ...enrolment(child),
    ...had,
    ...fullImmunisation(had, requiredDoses(had, record.complete, sheet)),
    ...campaignFacts(byDay),
  ]
}

function enrolment({ birthOn, isInCohort }: CountedChild): DoseFact[] {
  if (!isInCohort) return []
  const series = MILESTONES.enrolled
  return [{ delivery: 'routine', series, dose: 1, crudeOn: birthOn, validOn: birthOn, isTimely: true }]
}

function routineFacts(birthOn: Day, doses: readonly CountedDose[], sheet: DoseSheet): DoseFact[] {
  const records = numberedRecords(doses.filter((dose) => dose.delivery === 'routine'))
  return sheet.doses.flatMap(({ series, dose, lateFrom }) => {
    const inSeries = records.filter((record) => record.series === series)
    const crudeOn = inSeries.find((record) => record.crudeNumber === dose)?.on
    if (crudeOn === undefined) return []
    const validOn = inSeries.find((record) => record.valid && record.number === dose)?.on ?? null
    const lateOn = lateFrom === null ? Infinity : later(birthOn, lateFrom, sheet.monthEnd)
    const isTimely = validOn !== null && validOn < lateOn
    return [{ delivery: 'routine', series, dose, crudeOn, validOn, isTimely }]
  })
}

interface NumberedRecord {
  readonly series: string
  readonly on: Day
  /** The number that history gives, under the schedule. */
  readonly number: number
  readonly valid: boolean
  /** The number a reader of the card would count: an invalid dose takes one up too. */
  readonly crudeNumber: number
}

function numberedRecords(doses: readonly CountedDose[]): readonly NumberedRecord[] {
  const records: NumberedRecord[] = []
  const counted = new Map<string, number>()
  for (const { on, counts } of doses) {
    for (const { series, dose, valid } of counts) {
      // A second entry of the same day, an impossible day or a dose outside the series shows no further dose.
      if (dose === null) continue
      const crudeNumber = Math.max(dose, (counted.get(series) ?? 0) + 1)
      counted.set(series, crudeNumber)
      records.push({ series, on, number: dose, valid, crudeNumber })
    }
  }
  return records
}

/** The infant doses a child needs; a finished series needs no more than it had (a two-dose rotavirus product). */
function requiredDoses(
  had: readonly DoseFact[],
  complete: readonly string[],
  sheet: DoseSheet,
): readonly SheetDose[] {
  return sheet.doses.filter(
    (dose) => dose.isInfantDose && (!complete.includes(dose.series) || had.some((fact) => isOf(dose, fact))),
  )
}

function fullImmunisation(had: readonly DoseFact[], required: readonly SheetDose[]): DoseFact[] {
  const facts = required
    .map((dose) => had.find((fact) => isOf(dose, fact)))
    .filter((fact) => fact !== undefined)
  if (required.length === 0 || facts.length < required.length) return []
  const validOn = facts.map((fact) => fact.validOn).filter((on) => on !== null)
  return [
    {
      delivery: 'routine',
      series: MILESTONES.fullyImmunised,
      dose: 1,
      crudeOn: latest(facts.map((fact) => fact.crudeOn)),
      validOn: validOn.length < facts.length ? null : latest(validOn),
      isTimely: facts.every((fact) => fact.isTimely),
    },
  ]
}

const isOf = ({ series, dose }: SheetDose, fact: DoseFact): boolean =>
  fact.series === series && fact.dose === dose

const latest = (days: readonly Day[]): Day => days.reduce((a, b) => (a > b ? a : b))

/** Campaign doses are counted by vaccine, in the order given, and never number a routine series. */
function campaignFacts(doses: readonly CountedDose[]): DoseFact[] {
  const given = doses.filter((dose) => dose.delivery === 'campaign')
  return given.map(({ vaccine, on }, index) => {
    const dose = given.slice(0, index + 1).filter((earlier) => earlier.vaccine === vaccine).length
    return { delivery: 'campaign', series: vaccine, dose, crudeOn: on, validOn: null, isTimely: false }
  })
}
