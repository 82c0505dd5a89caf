import { instantOf, localTimeAt } from '../../core/days/zoned-time.ts'
import type { District } from '../../core/model.ts'
import { isSessionDay } from '../../core/sessions/session-calendar.ts'
import type { Db } from '../../store/database.ts'
import { listVillages } from '../../store/districts.ts'
import type { Deps } from '../deps.ts'
import { sessionsOf } from '../sessions-of.ts'
import { policyOf } from '../shelf.ts'

/** Minutes since midnight at which opening hours such as 09:00-13:00 end. */
function endMinute(hours: string): number {
  const [, hour = '0', minute = '0'] = /-(\d\d):(\d\d)$/.exec(hours) ?? []
  return Number(hour) * 60 + Number(minute)
}

/** When the post's session of the day is planned to end: the last of its villages'; `null` where none is known. */
export async function sessionEndOf(
  db: Db,
  deps: Deps,
  {
    district,
    postId,
    at,
  }: { readonly district: District; readonly postId: string | null; readonly at: Date },
): Promise<Date | null> {
  if (postId === null) return null
  const { day } = localTimeAt(at, district.timeZone)
  const policy = policyOf(deps.shelf, district.reminderPolicy)
  const villages = (await listVillages(db, district.id)).filter((village) => village.postId === postId)
  const ends = villages
    .filter((village) => isSessionDay(sessionsOf(village, day, policy), day))
    .flatMap(({ sessionHours }) => (sessionHours === null ? [] : [endMinute(sessionHours)]))
  return ends.length === 0 ? null : instantOf({ day, minute: Math.max(...ends) }, district.timeZone)
}
