import { formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { Forecast, NextDose, NextDoseStatus } from '../schedule/forecast-types.ts'
import { codingsOf } from './code-map.ts'
import type { CodeMap } from './code-map.ts'
import { reference, withoutEmpty } from './resource.ts'
import type { Resource } from './resource.ts'
import { SYSTEM } from './systems.ts'

/** LOINC codes of the value set immunization-recommendation-date-criterion (R4). */
const DATE = { earliest: '30981-5', due: '30980-7', latest: '59777-3', overdue: '59778-1' } as const

/** The codes R4 proposes, and our own where it has none. */
const STATUS: Readonly<Record<NextDoseStatus, { readonly system: string; readonly code: string }>> = {
  due: { system: SYSTEM.recommendation, code: 'due' },
  overdue: { system: SYSTEM.recommendation, code: 'overdue' },
  'not-yet': { system: SYSTEM.forecastStatus, code: 'not-yet' },
  closed: { system: SYSTEM.forecastStatus, code: 'closed' },
}

export interface Outlook {
  readonly childId: string
  /** The day the forecast is made for. */
  readonly on: Day
  readonly scheduleTitle: string
  readonly forecast: Forecast
  /** The vaccines of each series, the preferred one first. */
  readonly vaccinesOf: (series: string) => readonly string[]
}

/** What is next for a child, as the one ImmunizationRecommendation (R4) it has; nothing where nothing is to come. */
export function recommendationResource(outlook: Outlook, codes: CodeMap): Resource | undefined {
  const { childId, on, forecast, vaccinesOf, scheduleTitle } = outlook
  const recommendation = [
    ...forecast.next.map((next) => nextDose(next, codes, scheduleTitle)),
    ...forecast.complete.map((series) => ({
      vaccineCode: vaccinesOf(series).map((vaccine) => concept(vaccine, codes)),
      forecastStatus: { coding: [{ system: SYSTEM.recommendation, code: 'complete' }] },
      description: scheduleTitle,
      series,
    })),
  ]
  if (recommendation.length === 0) return undefined
  return {
    resourceType: 'ImmunizationRecommendation',
    id: childId,
    patient: reference('Patient', childId),
    date: formatDay(on),
    recommendation,
  }
}

function nextDose(next: NextDose, codes: CodeMap, description: string) {
  return withoutEmpty({
    vaccineCode: [concept(next.vaccine, codes)],
    forecastStatus: { coding: [STATUS[next.status]] },
    dateCriterion: [
      ...dated(DATE.earliest, next.earliest),
      ...dated(DATE.due, next.due),
      ...dated(DATE.overdue, next.overdue),
      ...dated(DATE.latest, next.latest),
    ],
    description,
    series: next.series,
    doseNumberPositiveInt: next.dose,
  })
}

function concept(vaccine: string, codes: CodeMap) {
  return { coding: codingsOf(codes, vaccine), text: vaccine }
}

function dated(code: string, day: Day | null) {
  return day === null ? [] : [{ code: { coding: [{ system: SYSTEM.loinc, code }] }, value: formatDay(day) }]
}
