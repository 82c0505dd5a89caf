import { formatDay } from '../core/days/day.ts'
import { Refusal } from '../core/refusals.ts'
import { parseSchedule } from '../core/schedule/parse-schedule.ts'
import type { Schedule } from '../core/schedule/schedule.ts'
import { planAgainOnSchedule } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import { insertScheduleVersion } from '../store/schedule-versions.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'

export interface Published {
  readonly schedule: Schedule
  /** Children of the districts that use this schedule, who are planned again from the day it comes into force. */
  readonly children: number
}

/**
 * Publishes a new version of a schedule. Its children are marked to be planned again on its effective day; the sweep
 * does so child by child, and goes on where it was broken off. Who switches is the version's own rule.
 * @throws {Refusal} schedule-invalid (facts: problems), schedule-already-published
 */
export async function publishSchedule(
  tx: Transaction,
  deps: Deps,
  data: object,
  by: string,
): Promise<Published> {
  const parsed = parseSchedule(data)
  if (parsed.kind === 'invalid') {
    const problems = parsed.problems.map(({ path, message }) => `${path}: ${message}`)
    throw new Refusal('schedule-invalid', problems.join('; '), { facts: { problems } })
  }
  const { schedule } = parsed
  const id = deps.newId()
  const isNew = await insertScheduleVersion(tx, {
    id,
    code: schedule.id,
    effectiveOn: schedule.effectiveOn,
    data,
    publishedBy: by,
    publishedAt: deps.clock.now(),
  })
  if (!isNew) {
    const day = formatDay(schedule.effectiveOn)
    throw new Refusal(
      'schedule-already-published',
      `${schedule.id} has a version from ${day}; give the new one its own day.`,
    )
  }
  await noteChange(tx, deps, {
    districtId: null,
    actor: by,
    act: 'publish',
    subject: { kind: 'schedule', id },
  })
  return { schedule, children: await planAgainOnSchedule(tx, schedule.id, schedule.effectiveOn) }
}
