import type { Command } from 'commander'
import { formatDay } from '../../core/days/day.ts'
import type { NextDose } from '../../core/schedule/forecast-types.ts'
import { BIRTH } from '../../core/schedule/length.ts'
import { parseSchedule } from '../../core/schedule/parse-schedule.ts'
import type { Schedule } from '../../core/schedule/schedule.ts'
import { visitPlan } from '../../core/schedule/visit-plan.ts'
import type { VisitPlan } from '../../core/schedule/visit-plan.ts'
import { readScheduleData } from '../schedules.ts'

const LATE = { months: 13, days: 0, text: '13 months' }

/** `duebell check-schedule`: contradictions found before a child meets them, and the visits that follow. */
export function addCheckScheduleCommand(program: Command): void {
  program
    .command('check-schedule')
    .description(
      'Checks a schedule and prints the visits of a child on time and of one who starts at 13 months.',
    )
    .argument('<id or file>', 'a schedule that comes with the service, or a file')
    .action((idOrFile: string) => {
      const parsed = parseSchedule(readScheduleData(idOrFile))
      const lines = parsed.kind === 'schedule' ? report(parsed.schedule) : parsed.problems.map(problemLine)
      process.stdout.write(`${lines.join('\n')}\n`)
      if (parsed.kind === 'invalid') process.exitCode = 1
    })
}

function problemLine({ path, message }: { path: string; message: string }): string {
  return `${path}: ${message}`
}

function report(schedule: Schedule): string[] {
  return [
    `${schedule.id}, version ${schedule.version}, in force from ${formatDay(schedule.effectiveOn)}`,
    schedule.title,
    schedule.notice,
    ...schedule.sources.map(({ title, issuer, edition }) => `Source: ${title}. ${issuer}, ${edition}.`),
    ...schedule.remarks.map(({ dose, text, source }) => `${dose}: ${text} (${source})`),
    'No contradictions found.',
    '',
    'A child who comes on time',
    ...visitTable(visitPlan(schedule, BIRTH)),
    '',
    'A child who first comes at 13 months',
    ...visitTable(visitPlan(schedule, LATE)),
  ]
}

function visitTable({ visits, missed }: VisitPlan): string[] {
  const width = Math.max(...visits.map(({ age }) => age.length), 'age'.length)
  const rows = visits.map(({ age, doses }) => `  ${age.padEnd(width)}  ${doses.map(doseName).join(', ')}`)
  const header = `  ${'age'.padEnd(width)}  doses`
  const closed = missed.length === 0 ? [] : [`  No longer given: ${missed.map(doseName).join(', ')}`]
  return [header, ...rows, ...closed]
}

function doseName({ series, dose, vaccine }: NextDose): string {
  return series === vaccine ? `${series} ${dose}` : `${series} ${dose} (${vaccine})`
}
