import { contradictions } from './contradictions.ts'
import type { ChildFacts } from './forecast-types.ts'
import { BIRTH } from './length.ts'
import { compile } from './compile.ts'
import type { Facts, Schedule } from './schedule.ts'
import { scheduleFile } from './schedule-file.ts'
import type { ScheduleProblem } from './schedule-problem.ts'
import { visitPlan } from './visit-plan.ts'

/** A schedule ready for forecasting, or all that is wrong with the data. */
export type ParsedSchedule =
  | { readonly kind: 'schedule'; readonly schedule: Schedule }
  | { readonly kind: 'invalid'; readonly problems: readonly ScheduleProblem[] }

/** Reads schedule data: its shape, then what contradicts itself, then whether a child can finish it. */
export function parseSchedule(data: unknown): ParsedSchedule {
  const shape = scheduleFile.safeParse(data)
  if (!shape.success) {
    const problems = shape.error.issues.map(({ path, message }) => ({ path: named(data, path), message }))
    return { kind: 'invalid', problems }
  }
  const problems = contradictions(shape.data)
  if (problems.length > 0) return { kind: 'invalid', problems }
  const schedule = compile(shape.data)
  const deadEnds = unfinished(schedule)
  return deadEnds.length > 0 ? { kind: 'invalid', problems: deadEnds } : { kind: 'schedule', schedule }
}

/** A path as people say it: by ids and codes where there are any, else counted from 1. */
function named(data: unknown, path: readonly PropertyKey[]): string {
  let here = data
  const steps = path.map((key) => {
    here = valueAt(here, key)
    const name = valueAt(here, 'id') ?? valueAt(here, 'code')
    return typeof key !== 'number' ? String(key) : typeof name === 'string' ? name : String(key + 1)
  })
  return steps.join('.')
}

function valueAt(data: unknown, key: PropertyKey): unknown {
  return typeof data === 'object' && data !== null ? Reflect.get(data, key) : undefined
}

/** Series that even a child who always comes on time cannot finish. */
function unfinished(schedule: Schedule): ScheduleProblem[] {
  return schedule.series.flatMap(({ id, onlyFor }) => {
    const { missed, complete } = visitPlan(schedule, BIRTH, childOf(onlyFor))
    if (complete.includes(id)) return []
    const dose = missed.find(({ series }) => series === id)?.dose
    return dose === undefined
      ? [
          {
            path: `series.${id}`,
            message: 'it waits for a dose that is never given, so no child can finish it',
          },
        ]
      : [
          {
            path: `series.${id}.doses.${dose}`,
            message:
              'even a child who always comes on time cannot have it: its time is over before it is due',
          },
        ]
  })
}

/** A child of the kind a series is for. */
function childOf(facts: Facts | null): Omit<ChildFacts, 'birthOn' | 'given'> {
  const weight =
    facts?.birthWeightFrom ?? (facts?.birthWeightBelow == null ? null : facts.birthWeightBelow - 1)
  return {
    ...(facts?.sex == null ? {} : { sex: facts.sex }),
    ...(weight === null ? {} : { birthWeightGrams: weight }),
    ...(facts?.flag == null ? {} : { flags: [facts.flag] }),
  }
}
