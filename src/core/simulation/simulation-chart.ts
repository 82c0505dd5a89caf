import { element, picture, textElement } from '../schedule/svg.ts'
import type { Simulation } from './simulate.ts'

const WIDTH = 720
const HEIGHT = 420
const LEFT = 52
const RIGHT = 20
const TOP = 48
const BOTTOM = 84
const LAST_WEEK = 52
const WEEKS_A_TICK = 4
const TICK_PERCENT = 20

/** Lines that a colour-blind reader tells apart by their dashes too (hues: Okabe and Ito 2008). */
const LINES = [
  { stroke: '#555555', dashes: '2 4' },
  { stroke: '#0072b2', dashes: 'none' },
  { stroke: '#d55e00', dashes: '8 4' },
  { stroke: '#009e73', dashes: '12 4 2 4' },
] as const

const x = (week: number): number => LEFT + ((WIDTH - LEFT - RIGHT) * week) / LAST_WEEK
const y = (percent: number): number => TOP + ((HEIGHT - TOP - BOTTOM) * (100 - percent)) / 100

/** By week of age, the share of children who had the last dose of the series, a line for each policy. */
export function simulationChart(simulation: Simulation): string {
  const { shown, policies, district } = simulation
  const dose = `${shown.series} ${shown.dose}`
  const title = `${dose} by age, of ${policies[0]?.tally.cohort ?? 0} children who lived their first year in the district`
  const ends = policies.map((policy) => `${policy.name} ${percentAt(policy, LAST_WEEK).toFixed(1)} %`)
  const description = `Simulated with seed ${district.seed}. By ${LAST_WEEK} weeks: ${ends.join(', ')}.`
  return picture({ id: 'simulation', title, description, width: WIDTH, height: HEIGHT }, [
    textElement('text', { x: LEFT, y: 24, 'font-size': 14 }, title),
    ...axes(),
    ...policies.flatMap((policy, place) => curve(policy, place)),
  ])
}

type Policy = Simulation['policies'][number]

function percentAt({ tally }: Policy, week: number): number {
  const had = tally.hadByWeek[Math.min(week, tally.hadByWeek.length - 1)] ?? 0
  return tally.cohort === 0 ? 0 : (100 * had) / tally.cohort
}

function axes(): string[] {
  const rows = Array.from({ length: 100 / TICK_PERCENT + 1 }, (_, step) => step * TICK_PERCENT)
  const weeks = Array.from({ length: LAST_WEEK / WEEKS_A_TICK + 1 }, (_, step) => step * WEEKS_A_TICK)
  return [
    ...rows.flatMap((percent) => [
      element('line', { x1: LEFT, x2: WIDTH - RIGHT, y1: y(percent), y2: y(percent), stroke: '#dddddd' }),
      textElement('text', { x: LEFT - 8, y: y(percent) + 4, 'text-anchor': 'end' }, `${percent} %`),
    ]),
    ...weeks.map((week) =>
      textElement('text', { x: x(week), y: y(0) + 18, 'text-anchor': 'middle' }, String(week)),
    ),
    textElement(
      'text',
      { x: x(LAST_WEEK / 2), y: y(0) + 36, 'text-anchor': 'middle' },
      'completed weeks of age',
    ),
  ]
}

function curve(policy: Policy, place: number): string[] {
  const { stroke, dashes } = LINES[place % LINES.length] ?? LINES[0]
  const weeks = Array.from({ length: LAST_WEEK + 1 }, (_, week) => week)
  const points = weeks
    .map((week) => `${x(week).toFixed(1)},${y(percentAt(policy, week)).toFixed(1)}`)
    .join(' ')
  const line = { stroke, 'stroke-width': 2, 'stroke-dasharray': dashes, fill: 'none' }
  const at = { left: LEFT + place * 160, top: HEIGHT - 18 }
  return [
    element('polyline', { points, ...line }),
    element('line', { x1: at.left, x2: at.left + 30, y1: at.top, y2: at.top, ...line }),
    textElement('text', { x: at.left + 36, y: at.top + 4 }, policy.name),
  ]
}
