import { addDays } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { across, chartFrame, CHART_WIDTH, chartHeight, doseDisc, doseWindow, down } from './age-chart.ts'
import type { AgeChart } from './age-chart.ts'
import type { NextDose } from './forecast-types.ts'
import { BIRTH } from './length.ts'
import type { Schedule } from './schedule.ts'
import { mark, picture, textElement } from './svg.ts'
import { ageInWords, visitPlan } from './visit-plan.ts'
import type { VisitPlan } from './visit-plan.ts'

const LINE_HEIGHT = 18

/**
 * A schedule as SVG: for each dose of a child who comes on time, when it is due and how long it can be given.
 * What other authorities say of a dose stands below.
 */
export function scheduleChart(schedule: Schedule): string {
  const plan = visitPlan(schedule, BIRTH, { sex: 'female' })
  const chart: AgeChart = {
    birthOn: plan.birthOn,
    endOn: endOf(plan),
    rows: schedule.series.map(({ name }) => name),
  }
  const frame = {
    id: `schedule-${schedule.id}`,
    title: schedule.title,
    description: plan.visits.map((visit) => `${visit.age}: ${visit.doses.map(named).join(', ')}`).join('. '),
    width: CHART_WIDTH,
    height: chartHeight(chart) + schedule.remarks.length * LINE_HEIGHT,
  }
  return picture(frame, [
    textElement('text', { x: 10, y: 22, 'font-size': 15, 'font-weight': 'bold' }, schedule.title),
    textElement('text', { x: 10, y: 42 }, schedule.notice),
    ...chartFrame(chart),
    ...plan.visits.flatMap(({ doses }) => doses.flatMap((dose) => doseMarks(schedule, plan, chart, dose))),
    ...schedule.remarks.map(({ dose, text, source }, line) =>
      textElement(
        'text',
        { x: 10, y: chartHeight(chart) + line * LINE_HEIGHT, 'font-size': 11 },
        `${dose}: ${text} (${source})`,
      ),
    ),
  ])
}

function endOf({ birthOn, visits }: VisitPlan): Day {
  const last = visits.at(-1)?.on ?? birthOn
  return addDays(birthOn, Math.ceil((last - birthOn) * 1.1) + 30)
}

function doseMarks(schedule: Schedule, plan: VisitPlan, chart: AgeChart, dose: NextDose): string[] {
  const row = schedule.series.findIndex(({ id }) => id === dose.series)
  const due = ageInWords(plan.birthOn, dose.due)
  const earliest = ageInWords(plan.birthOn, dose.earliest)
  const about = `${named(dose)}: due at ${due}, not before ${earliest}`
  return [
    ...doseWindow(chart, row, dose),
    mark({ x: across(chart, dose.due), y: down(row), about }, doseDisc(dose.dose)),
  ]
}

function named({ vaccine, dose }: NextDose): string {
  return `${vaccine} ${dose}`
}
