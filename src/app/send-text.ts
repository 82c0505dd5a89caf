import { closingAfter, nextSendingMoment, sendingHours } from '../core/reminders/sending-hours.ts'
import type { SendingHours } from '../core/reminders/sending-hours.ts'
import { getDistrict } from '../store/districts.ts'
import { isStillWanted } from '../store/reminders.ts'
import { claimTextOut, findTextOut, postponeTextOut, settleTextOut } from '../store/texts.ts'
import type { TextOut } from '../store/texts.ts'
import type { Deps } from './deps.ts'
import { laneFor, lanesOf, leaseMs } from './lanes.ts'
import type { Gateway } from './ports.ts'
import { policyOf } from './shelf.ts'
import { openSubmissions } from './submit-texts.ts'

/**
 * Sends one waiting text (a reply, a list, an alert, or a reminder in doubt), unless another worker has it, it came
 * too late, or every reminder it carries was withdrawn meanwhile.
 */
export async function sendText(deps: Deps, gateway: Gateway, textOutId: string): Promise<void> {
  const now = deps.clock.now()
  const waiting = await findTextOut(deps.database.db, textOutId)
  if (waiting === undefined) return
  const lane = laneFor(lanesOf(gateway), waiting.number)
  const leaseUntil = new Date(now.getTime() + leaseMs(lane, waiting.parts))
  const text = await claimTextOut(deps.database.db, textOutId, leaseUntil)
  if (text === undefined) return
  if (text.usefulUntil !== null && text.usefulUntil < now) {
    await settleTextOut(deps.database.db, text.id, { status: 'lapsed', reason: 'too-late', at: now })
    return
  }
  if (text.purpose === 'reminder' && !(await isStillWanted(deps.database.db, text.id))) {
    await settleTextOut(deps.database.db, text.id, { status: 'lapsed', reason: 'withdrawn', at: now })
    return
  }
  const hours = await hoursOf(deps, text)
  const sendAt = (hours && nextSendingMoment(now, hours)) ?? now
  if (sendAt > now) return postponeTextOut(deps.database.db, text.id, sendAt, 'outside-hours')
  await openSubmissions(deps, gateway, lane)({ ...text, leaveBefore: hours && closingAfter(now, hours) })
}

/** Answers and warnings go at once; everything else within the district's hours. */
async function hoursOf(deps: Deps, { isUrgent, districtId }: TextOut): Promise<SendingHours | null> {
  if (isUrgent || districtId === null) return null
  const district = await getDistrict(deps.database.db, districtId)
  const policy = policyOf(deps.shelf, district.reminderPolicy)
  return sendingHours(policy, district.timeZone)
}
