import { vaccinesOf } from '../core/appointments/next-appointment.ts'
import { addDays } from '../core/days/day.ts'
import type { District } from '../core/model.ts'
import { planAftercare, planReminders } from '../core/reminders/plan-reminders.ts'
import { remindersFor } from '../core/reminders/policy.ts'
import type { ReminderKind, ReminderPolicy } from '../core/reminders/policy.ts'
import { isReminderPreference } from '../core/reminders/preference.ts'
import { sendingHours } from '../core/reminders/sending-hours.ts'
import { listVisitsToRemindOf } from '../store/visits-to-remind-of.ts'
import type { VisitOfLine } from '../store/visits-to-remind-of.ts'
import type { Deps } from './deps.ts'
import { todayIn } from './deps.ts'
import { policyOf } from './shelf.ts'

/** Texts of one kind to families. */
export interface TrialCount {
  readonly kind: ReminderKind
  /** Under the policy in force. */
  readonly now: number
  /** Under the one that is tried. */
  readonly onTrial: number
}

/** A policy foresees texts up to two months after a visit and a month before it. */
const REACH_DAYS = 62

/**
 * How many texts the visits that are planned would bring families in the next days, under the policy in force and
 * under another one. Recalls are counted as if each visit were missed, advice as if each took place; what is texted to
 * one line of one kind on one day is one text. Stores and sends nothing.
 */
export async function tryPolicy(
  deps: Pick<Deps, 'database' | 'clock' | 'shelf'>,
  district: District,
  policy: ReminderPolicy,
  days: number,
): Promise<TrialCount[]> {
  const today = todayIn(deps, district)
  const from = addDays(today, -REACH_DAYS)
  const visits = await listVisitsToRemindOf(
    deps.database.reading,
    district.id,
    from,
    addDays(today, days + REACH_DAYS),
  )
  const count = (tried: ReminderPolicy): ReadonlyMap<ReminderKind, number> => {
    const hours = sendingHours(tried, district.timeZone)
    const now = deps.clock.now()
    const texts = new Set<string>()
    for (const visit of visits)
      for (const { kind, sendOn } of foreseen(visit, tried, hours, now))
        if (sendOn < addDays(today, days)) texts.add(`${kind} ${visit.lineId} ${sendOn}`)
    return byKind(texts)
  }
  const [inForce, onTrial] = [count(policyOf(deps.shelf, district.reminderPolicy)), count(policy)]
  return KINDS.map((kind) => ({ kind, now: inForce.get(kind) ?? 0, onTrial: onTrial.get(kind) ?? 0 }))
}

const KINDS: readonly ReminderKind[] = ['ahead', 'eve', 'missed-1', 'missed-2', 'aftercare']

function foreseen(
  { scheduleCode, village, birthOn, visitOn, doses, preference }: VisitOfLine,
  policy: ReminderPolicy,
  hours: ReturnType<typeof sendingHours>,
  now: Date,
) {
  const vaccines = vaccinesOf(doses)
  const question = {
    visitOn,
    reminders: remindersFor(policy, { scheduleCode, village, birthOn, visitOn, vaccines }),
    preference: isReminderPreference(preference) ? preference : 'any',
    triesMade: 0,
    triesAtMost: policy.tries.atMost,
  } as const
  const plans = [planReminders(question, hours, now), planAftercare(question, hours, now)]
  return plans.flatMap(({ planned }) => planned).filter(({ to }) => to === 'family')
}

function byKind(texts: ReadonlySet<string>): ReadonlyMap<ReminderKind, number> {
  const counts = new Map<ReminderKind, number>()
  for (const text of texts) {
    const kind = KINDS.find((each) => text.startsWith(`${each} `))
    if (kind !== undefined) counts.set(kind, (counts.get(kind) ?? 0) + 1)
  }
  return counts
}
