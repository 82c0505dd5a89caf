import type { Day } from '../days/day.ts'
import { instantOf } from '../days/zoned-time.ts'
import { planReminders } from '../reminders/plan-reminders.ts'
import { remindersFor } from '../reminders/policy.ts'
import type { ReminderKind, ReminderPolicy } from '../reminders/policy.ts'
import { sendingHours } from '../reminders/sending-hours.ts'

/** A text that a policy foresees, and its day. */
export interface ForeseenText {
  readonly kind: ReminderKind
  readonly on: Day
}

export interface VisitToForesee {
  readonly birthOn: Day
  readonly bookedOn: Day
  readonly visitOn: Day
  readonly vaccines: readonly string[]
  readonly triesMade: number
}

export interface TextPlanner {
  /** The texts about a visit to come, in order of their days. */
  readonly about: (visit: VisitToForesee) => readonly ForeseenText[]
  /** Whether advice follows doses. */
  readonly advises: (visit: VisitToForesee) => boolean
}

/** When a visit is booked on a day that a visit took place on, it is booked after the session. */
const BOOKED_AT_MINUTE = 14 * 60

/** Foresees texts by the rules of the service; what depends on the days alone is worked out once. */
export function openTextPlanner(policy: ReminderPolicy, scheduleCode: string): TextPlanner {
  const hours = sendingHours(policy, 'UTC')
  const known = new Map<object, Map<string, readonly ForeseenText[]>>()
  const rulesOf = ({ birthOn, visitOn, vaccines }: VisitToForesee) =>
    remindersFor(policy, { scheduleCode, village: '', birthOn, visitOn, vaccines })
  return {
    advises: (visit) => rulesOf(visit).aftercare !== undefined,
    about: (visit) => {
      const { bookedOn, visitOn, triesMade } = visit
      const reminders = rulesOf(visit)
      const byDays = known.get(reminders) ?? new Map<string, readonly ForeseenText[]>()
      known.set(reminders, byDays)
      const key = `${visitOn} ${bookedOn} ${triesMade}`
      const before = byDays.get(key)
      if (before !== undefined) return before
      const question = {
        visitOn,
        reminders,
        preference: 'any',
        triesMade,
        triesAtMost: policy.tries.atMost,
      } as const
      const now = instantOf({ day: bookedOn, minute: BOOKED_AT_MINUTE }, hours.zone)
      const texts = planReminders(question, hours, now).planned.map(({ kind, sendOn: on }) => ({ kind, on }))
      byDays.set(key, texts)
      return texts
    },
  }
}
