import { contradictions } from './contradictions.ts'
import type { ScheduleProblem } from './contradictions.ts'
import { compile } from './schedule.ts'
import type { Schedule } from './schedule.ts'
import { scheduleFile } from './schedule-file.ts'
import { visitPlan } from './visit-plan.ts'

export type ParsedSchedule =
  | { readonly kind: 'schedule'; readonly schedule: Schedule }
  | { readonly kind: 'invalid'; readonly problems: readonly ScheduleProblem[] }

/** Reads schedule data: its shape, then what contradicts itself, then whether a child can finish it. */
export function parseSchedule(data: unknown): ParsedSchedule {
  const shape = scheduleFile.safeParse(data)
  if (!shape.success) {
    const problems = shape.error.issues.map(({ path, message }) => ({ path: path.join('.'), message }))
    return { kind: 'invalid', problems }
  }
  const problems = contradictions(shape.data)
  if (problems.length > 0) return { kind: 'invalid', problems }
  const schedule = compile(shape.data)
  const unreachable = unreachableDoses(schedule)
  return unreachable.length > 0 ? { kind: 'invalid', problems: unreachable } : { kind: 'schedule', schedule }
}

const FROM_BIRTH = { months: 0, days: 0, text: 'birth' }

/** Doses that even a child who always comes on time can never have. */
function unreachableDoses(schedule: Schedule): ScheduleProblem[] {
  return visitPlan(schedule, FROM_BIRTH, { sex: 'female' }).missed.map(({ series, dose }) => ({
    path: `series.${series}.doses.${dose}`,
    message: `even a child who always comes on time cannot have ${series} ${dose}: its time is over before it is due`,
  }))
}
