import { vaccinesOf } from '../core/appointments/next-appointment.ts'
import { addDays } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import type { Appointment, Child, District, PhoneLine } from '../core/model.ts'
import { planAftercare, planReminders } from '../core/reminders/plan-reminders.ts'
import { remindersFor } from '../core/reminders/policy.ts'
import { isReminderPreference } from '../core/reminders/preference.ts'
import { sendingHours } from '../core/reminders/sending-hours.ts'
import type { Transaction } from '../store/database.ts'
import { getVillage } from '../store/districts.ts'
import { linesOfChild } from '../store/people.ts'
import { countRecalls, insertReminders } from '../store/reminders.ts'
import type { Deps } from './deps.ts'
import { todayIn } from './deps.ts'
import { policyOf } from './shelf.ts'

interface Occasion {
  readonly child: Child
  readonly district: District
  /** The visit to come, or the visit at which doses were given. */
  readonly visitOn: Day
  readonly vaccines: readonly string[]
  /** Null for aftercare. */
  readonly appointment: Appointment | null
}

/** Stores the texts to be sent about a visit to come, to each line of the child that wants them. */
export async function planVisitReminders(
  tx: Transaction,
  deps: Deps,
  visit: { readonly child: Child; readonly district: District; readonly appointment: Appointment },
): Promise<void> {
  const { appointment } = visit
  await storePlan(tx, deps, {
    ...visit,
    visitOn: appointment.sessionOn,
    vaccines: vaccinesOf(appointment.doses),
  })
}

/** Stores the advice that follows doses; nothing is sent about doses reported days later. */
export async function planAdvice(
  tx: Transaction,
  deps: Deps,
  given: {
    readonly child: Child
    readonly district: District
    readonly givenOn: Day
    readonly vaccines: readonly string[]
  },
): Promise<void> {
  const { child, district, givenOn, vaccines } = given
  if (child.status !== 'active' || givenOn < addDays(todayIn(deps, district), -1)) return
  await storePlan(tx, deps, { child, district, visitOn: givenOn, vaccines, appointment: null })
}

async function storePlan(tx: Transaction, deps: Deps, occasion: Occasion): Promise<void> {
  const { child, district, visitOn, vaccines, appointment } = occasion
  const policy = policyOf(deps.shelf, district.reminderPolicy)
  const village = await getVillage(tx, appointment?.villageId ?? child.villageId)
  const subject = {
    scheduleCode: district.scheduleCode,
    village: village.name,
    birthOn: child.birthOn,
    visitOn,
    vaccines,
  }
  const reminders = remindersFor(policy, subject)
  const hours = sendingHours(policy, district.timeZone)
  const triesMade = await countRecalls(tx, child.id)
  const plan = appointment === null ? planAftercare : planReminders
  const now = deps.clock.now()
  for (const line of await reachableLines(tx, child.id)) {
    const preference = isReminderPreference(line.preference) ? line.preference : 'any'
    const question = { visitOn, reminders, preference, triesMade, triesAtMost: policy.tries.atMost }
    const texts = plan(question, hours, now).planned.filter((reminder) => reminder.to === 'family')
    await insertReminders(
      tx,
      texts.map(({ kind, sendAt, usefulUntil }) => ({
        id: deps.newId(),
        districtId: district.id,
        childId: child.id,
        lineId: line.id,
        appointmentId: appointment?.id ?? null,
        kind,
        aboutOn: visitOn,
        sendAt,
        usefulUntil,
        createdAt: now,
      })),
    )
  }
}

/** The lines of a child that may be sent more than answers to their own questions. */
export async function reachableLines(tx: Transaction, childId: string): Promise<PhoneLine[]> {
  const lines = await linesOfChild(tx, childId)
  return lines.filter((line) => line.stoppedAt === null && line.consent === 'given')
}
