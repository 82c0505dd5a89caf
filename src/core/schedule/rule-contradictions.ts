import { BIRTH, isLonger } from './length.ts'
import type { DoseRuleFile, IntervalFile, ScheduleFile, SeriesFile } from './schedule-file.ts'
import type { ScheduleProblem } from './schedule-problem.ts'

/** What contradicts itself in the rule of one dose. */
export function ruleProblems(
  file: ScheduleFile,
  series: SeriesFile,
  rule: DoseRuleFile,
  { path, number }: { path: string; number: number },
): ScheduleProblem[] {
  const messages = [
    ...ageMessages(rule),
    ...(rule.after ?? []).flatMap((interval) => intervalMessages(file, series, interval, number)),
  ]
  return messages.map((message) => ({ path: `${path}.${number}`, message }))
}

function ageMessages({ earliest = BIRTH, due = earliest, overdue, before }: DoseRuleFile): string[] {
  const messages: string[] = []
  if (isLonger(earliest, due))
    messages.push(`it is due at ${due.text}, before its earliest age of ${earliest.text}`)
  if (before !== undefined && !isLonger(before, due))
    messages.push(`it is due at ${due.text}, but may be given only before ${before.text}`)
  if (overdue?.kind === 'age' && isLonger(due, overdue.length))
    messages.push(`it is overdue at ${overdue.length.text}, before it is due at ${due.text}`)
  return messages
}

function intervalMessages(
  file: ScheduleFile,
  series: SeriesFile,
  interval: IntervalFile,
  number: number,
): string[] {
  const { since, minimum, usual } = interval
  const messages: string[] = []
  if (usual !== undefined && isLonger(minimum, usual))
    messages.push(`its usual interval of ${usual.text} is shorter than the minimum of ${minimum.text}`)
  if (since.kind === 'own' && since.dose >= number)
    messages.push(`it is counted from dose ${since.dose}, which does not come before it`)
  if (since.kind === 'series') {
    const other = file.series.find(({ id }) => id === since.series)
    if (other === undefined)
      messages.push(`it is counted from ${since.series}, which is not a series of the schedule`)
    else if (other.id === series.id) messages.push(`write "dose ${since.dose}" for a dose of the same series`)
    else if (since.dose > other.doses.length)
      messages.push(`${since.series} has no dose ${since.dose}, so it never starts`)
  }
  return messages
}
