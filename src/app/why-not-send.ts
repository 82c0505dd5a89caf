import type { ReminderKind } from '../core/reminders/policy.ts'
import { isReminderPreference, recipientOf } from '../core/reminders/preference.ts'
import type { ClaimedReminder } from '../store/reminders.ts'

/** Why a reminder is not sent after all. */
export type Withdrawn =
  | 'stopped'
  | 'line-changed'
  | 'not-wanted'
  | 'not-followed'
  | 'dose-given'
  | 'visit-changed'
  | 'no-visit'
  | 'tries-used-up'
  | 'over-budget'

/** Kinds that speak of a visit to come; recalls speak of one that was missed. */
const BEFORE_THE_VISIT: ReadonlySet<string> = new Set(['ahead', 'eve', 'moved'])

/** Kinds that follow others: they are for whoever was told of the day before. */
const LIKE_AHEAD: ReadonlySet<string> = new Set(['moved', 'called-off'])

/** Why a reminder makes no sense any more; `wait` when that is not known yet, `null` when it does make sense. */
export function whyNotSend(reminder: ClaimedReminder): Withdrawn | 'wait' | null {
  const { kind } = reminder
  if (reminder.isStopped) return 'stopped'
  if (!reminder.isCurrentLine) return 'line-changed'
  if (reminder.childStatus !== 'active') return 'not-followed'
  if (!isWanted(reminder)) return 'not-wanted'
  if (kind === 'aftercare') return reminder.vaccines.length > 0 ? null : 'visit-changed'
  if (kind === 'called-off') return reminder.nextSessionOn === reminder.aboutOn ? 'visit-changed' : null
  if (BEFORE_THE_VISIT.has(kind)) return reminder.appointmentStatus === 'planned' ? null : 'visit-changed'
  return whyNoRecall(reminder)
}

/** What the family chose may have changed since the reminder was planned. */
function isWanted({ kind, preference }: ClaimedReminder): boolean {
  const like = (LIKE_AHEAD.has(kind) ? 'ahead' : kind) as ReminderKind // the table's check knows no other
  return !isReminderPreference(preference) || recipientOf(like, preference) === 'family'
}

/** A recall makes sense for a visit that was missed, while the child has not come since and has a day to come. */
function whyNoRecall(reminder: ClaimedReminder): Withdrawn | 'wait' | null {
  switch (reminder.appointmentStatus) {
    case 'planned':
      // The visit's day is over and nobody has closed it yet.
      return 'wait'
    case 'kept':
      return 'dose-given'
    case 'missed':
      if (reminder.hasComeSince) return 'dose-given'
      return reminder.nextSessionOn === null ? 'no-visit' : null
    default:
      return 'visit-changed'
  }
}
