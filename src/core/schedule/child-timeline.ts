import { addDays, formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { across, chartFrame, CHART_WIDTH, chartHeight, doseDisc, doseWindow, down, INK } from './age-chart.ts'
import type { AgeChart } from './age-chart.ts'
import { explain } from './explain.ts'
import { forecast } from './forecast.ts'
import type { ChildFacts, Forecast } from './forecast-types.ts'
import type { Schedule } from './schedule.ts'
import { element, mark, picture, textElement } from './svg.ts'
import { ageInWords } from './visit-plan.ts'

const DUE_DIAMOND = element('path', {
  d: 'M0 -8L8 0L0 8L-8 0Z',
  fill: '#ffffff',
  stroke: INK.dose,
  'stroke-width': 2,
})

const UNCOUNTED_CROSS = element('path', {
  d: 'M-6 -6L6 6M-6 6L6 -6',
  stroke: INK.warning,
  'stroke-width': 3,
})

/** A child's doses over the schedule as SVG: what counted, what did not and why, and what comes when. */
export function childTimeline(schedule: Schedule, child: ChildFacts, asOf: Day): string {
  const made = forecast(schedule, child, asOf)
  const { given, next } = explain(schedule, child, made)
  const chart: AgeChart = {
    birthOn: child.birthOn,
    endOn: endOf(child, made, asOf),
    rows: schedule.series.map(({ name }) => name),
  }
  const rowOf = (id: string): number => schedule.series.findIndex((series) => series.id === id)
  const frame = {
    id: 'child-timeline',
    title: `Doses as of ${formatDay(asOf)}, at the age of ${ageInWords(child.birthOn, asOf)}`,
    description: [...given.flat(), ...next.map(({ due }) => due)].join('. '),
    width: CHART_WIDTH,
    height: chartHeight(chart),
  }
  return picture(frame, [
    textElement('text', { x: 10, y: 22, 'font-size': 15, 'font-weight': 'bold' }, frame.title),
    textElement('text', { x: 10, y: 42 }, schedule.notice),
    ...chartFrame(chart),
    ...todayLine(chart, asOf),
    ...made.next.flatMap((dose, place) => {
      const row = rowOf(dose.series)
      const about = next[place]?.due ?? ''
      return [
        ...doseWindow(chart, row, dose),
        mark({ x: across(chart, dose.due), y: down(row), about }, DUE_DIAMOND),
      ]
    }),
    ...made.given.flatMap(({ on, counts }, place) =>
      counts.map(({ series, dose, valid }, verdict) => {
        const about = given[place]?.[verdict] ?? ''
        const shape = valid && dose !== null ? doseDisc(dose) : UNCOUNTED_CROSS
        return mark({ x: across(chart, on), y: down(rowOf(series)), about }, shape)
      }),
    ),
  ])
}

function endOf({ birthOn }: ChildFacts, { next }: Forecast, asOf: Day): Day {
  const coming = next.filter(({ status }) => status !== 'closed').map(({ due }) => due)
  const last = Math.max(asOf, ...coming)
  return addDays(birthOn, Math.ceil((last - birthOn) * 1.1) + 30)
}

function todayLine(chart: AgeChart, asOf: Day): string[] {
  const x = across(chart, asOf)
  return [
    element('line', {
      x1: x,
      x2: x,
      y1: 48,
      y2: down(chart.rows.length - 0.5),
      stroke: INK.text,
      'stroke-width': 1.5,
    }),
    // To the left of the line: on its right the picture may end.
    textElement('text', { x: x - 4, y: 54, 'text-anchor': 'end' }, formatDay(asOf)),
  ]
}
