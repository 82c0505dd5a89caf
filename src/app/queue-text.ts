import type { District, Person } from '../core/model.ts'
import { nextSendingMoment, sendingHours } from '../core/reminders/sending-hours.ts'
import { measure } from '../core/texts/segments.ts'
import type { Transaction } from '../store/database.ts'
import { insertTextOut } from '../store/texts.ts'
import type { TextPurpose } from '../store/texts.ts'
import type { Deps } from './deps.ts'
import { policyOf } from './shelf.ts'

export interface Telling {
  readonly district: District
  readonly person: Pick<Person, 'phone'>
  readonly body: string
  /** A list or a summary, unless said otherwise. */
  readonly purpose?: Extract<TextPurpose, 'alert' | 'list'>
  /** True: at once, at any hour. */
  readonly isUrgent?: boolean
}

/** Something nobody asked for: it leaves within the hours of the district, unless it cannot wait. */
export async function queueText(
  tx: Transaction,
  deps: Deps,
  { district, person, body, purpose = 'list', isUrgent = false }: Telling,
): Promise<void> {
  const now = deps.clock.now()
  const hours = sendingHours(policyOf(deps.shelf, district.reminderPolicy), district.timeZone)
  await insertTextOut(tx, {
    id: deps.newId(),
    districtId: district.id,
    number: person.phone,
    body,
    purpose,
    isUrgent,
    parts: measure(body).parts,
    inReplyTo: null,
    createdAt: now,
    sendAt: isUrgent ? now : (nextSendingMoment(now, hours) ?? now),
    usefulUntil: null,
  })
}
