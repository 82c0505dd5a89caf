import type { Child, District, PhoneLine } from '../core/model.ts'
import { nextSendingMoment, sendingHours } from '../core/reminders/sending-hours.ts'
import { labelChild } from '../core/texts/child-label.ts'
import { say } from '../core/texts/phrases.ts'
import { measure } from '../core/texts/segments.ts'
import type { Transaction } from '../store/database.ts'
import { getVillage } from '../store/districts.ts'
import { insertTextOut } from '../store/texts.ts'
import type { Deps } from './deps.ts'
import { bookFor, policyOf } from './shelf.ts'

export interface Greeting {
  readonly line: PhoneLine
  readonly child: Child
  readonly district: District
}

/** The first text to a phone: who writes and how to stop it; where consent was not given yet it is asked for. */
export async function greetLine(
  tx: Transaction,
  deps: Deps,
  { line, child, district }: Greeting,
): Promise<void> {
  const now = deps.clock.now()
  const policy = policyOf(deps.shelf, district.reminderPolicy)
  const sendAt = nextSendingMoment(now, sendingHours(policy, district.timeZone))
  if (sendAt === undefined || line.stoppedAt !== null) return
  const { postName } = await getVillage(tx, child.villageId)
  const facts = { post: postName, child: labelChild(child.name, district.childNaming), count: 1 }
  const book = bookFor(deps.shelf, district, line.language)
  const body = line.consent === 'given' ? say(book, 'welcome', facts) : say(book, 'welcome-ask', facts)
  await insertTextOut(tx, {
    id: deps.newId(),
    districtId: district.id,
    number: line.number,
    body,
    purpose: 'alert',
    isUrgent: false,
    parts: measure(body).parts,
    inReplyTo: null,
    createdAt: now,
    sendAt,
    usefulUntil: null,
  })
}
