import { addDays } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { NextDose } from './forecast-types.ts'
import { later, readLength } from './length.ts'
import { element, textElement } from './svg.ts'
import { ageInWords } from './visit-plan.ts'

/** A chart with ages across and one row per series; the first months are stretched, being the fullest. */
export interface AgeChart {
  readonly birthOn: Day
  readonly endOn: Day
  /** Names of the rows, from the top. */
  readonly rows: readonly string[]
}

export const CHART_WIDTH = 960
const LABEL_WIDTH = 310
const ROW_HEIGHT = 34
const TOP = 56
const RIGHT_MARGIN = 24
const BOTTOM = 44

/** Told apart by every common kind of colour sight (Okabe and Ito, 2008); shapes repeat what they say. */
export const INK = {
  dose: '#0072b2',
  warning: '#d55e00',
  text: '#000000',
  faint: '#8c8c8c',
  band: '#e8eef2',
} as const

const TICKS = [
  '6 weeks',
  '14 weeks',
  '6 months',
  '9 months',
  '1 year',
  '18 months',
  '2 years',
  '3 years',
  '5 years',
  '10 years',
  '16 years',
]

export function chartHeight({ rows }: AgeChart): number {
  return TOP + rows.length * ROW_HEIGHT + BOTTOM
}

/** Where a day lies across the chart. */
export function across({ birthOn, endOn }: AgeChart, on: Day): number {
  const share = Math.min(Math.max(on - birthOn, 0) / (endOn - birthOn), 1)
  return LABEL_WIDTH + Math.sqrt(share) * (CHART_WIDTH - LABEL_WIDTH - RIGHT_MARGIN)
}

/** The middle of a row. */
export function down(row: number): number {
  return TOP + (row + 0.5) * ROW_HEIGHT
}

/** Row names and the age axis. */
export function chartFrame(chart: AgeChart): string[] {
  const bottom = TOP + chart.rows.length * ROW_HEIGHT
  const rows = chart.rows.flatMap((name, row) => [
    ...(row % 2 === 0
      ? [
          element('rect', {
            x: 0,
            y: TOP + row * ROW_HEIGHT,
            width: CHART_WIDTH,
            height: ROW_HEIGHT,
            fill: INK.band,
          }),
        ]
      : []),
    textElement('text', { x: 10, y: down(row) + 4, fill: INK.text }, name),
  ])
  const ticks = ticksOf(chart).flatMap((on) => {
    const x = across(chart, on)
    return [
      element('line', { x1: x, x2: x, y1: TOP, y2: bottom, stroke: INK.faint, 'stroke-width': 0.5 }),
      textElement('text', { x, y: bottom + 16, 'text-anchor': 'middle' }, ageInWords(chart.birthOn, on)),
    ]
  })
  return [...rows, ...ticks]
}

/** Days of well-known ages that fit without their names touching. */
function ticksOf(chart: AgeChart): Day[] {
  const days: Day[] = [chart.birthOn]
  for (const text of TICKS) {
    const length = readLength(text)
    const on = length === undefined ? chart.birthOn : later(chart.birthOn, length, 'roll')
    const last = days.at(-1) ?? chart.birthOn
    if (on <= chart.endOn && across(chart, on) - across(chart, last) > 64) days.push(on)
  }
  return days
}

/** The time in which a dose can be given: thin while possible, thick from earliest until late, a stop at its end. */
export function doseWindow(chart: AgeChart, row: number, dose: NextDose): string[] {
  const y = down(row)
  const end = dose.latest ?? chart.endOn
  const late = dose.overdue ?? end
  const line = (from: Day, to: Day, width: number): string =>
    element('line', {
      x1: across(chart, from),
      x2: across(chart, to),
      y1: y,
      y2: y,
      stroke: INK.dose,
      'stroke-width': width,
      'stroke-opacity': 0.4,
    })
  const stop = across(chart, addDays(end, 1))
  return [
    line(dose.earliest, end, 2),
    line(dose.earliest, late, 10),
    ...(dose.latest === null || dose.latest > chart.endOn
      ? []
      : [
          element('line', {
            x1: stop,
            x2: stop,
            y1: y - 9,
            y2: y + 9,
            stroke: INK.warning,
            'stroke-width': 3,
          }),
        ]),
  ]
}

/** A numbered disc: a dose that is due or counts. */
export function doseDisc(number: number): string {
  return (
    element('circle', { r: 9, fill: INK.dose }) +
    textElement(
      'text',
      { y: 4, 'text-anchor': 'middle', fill: '#ffffff', 'font-weight': 'bold' },
      String(number),
    )
  )
}
