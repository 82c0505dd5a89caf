import { measure } from '../core/texts/segments.ts'
import { Refusal } from '../core/refusals.ts'
import type { Db, Transaction } from '../store/database.ts'
import {
  closeFailedText,
  listFailedTexts,
  listParkedTexts,
  planAgainFrom,
  unparkTextIn,
} from '../store/dead-letters.ts'
import type { FailedText, ParkedText } from '../store/dead-letters.ts'
import { insertTextOut } from '../store/texts.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'

export type { FailedText, ParkedText } from '../store/dead-letters.ts'

/** Lines of each list; the newest are the ones that can still be mended. */
const MOST = 200
/** A text sent again by hand is of use for so long. */
const USEFUL_MS = 24 * 3_600_000

export interface DeadLetters {
  /** Texts out that failed for good, newest first. */
  readonly failed: readonly FailedText[]
  /** Texts in that could not be answered, newest first. */
  readonly parked: readonly ParkedText[]
}

/** What failed for good in a district, until someone deals with it. */
export async function deadLetters(db: Db, districtId: string): Promise<DeadLetters> {
  return {
    failed: await listFailedTexts(db, districtId, MOST),
    parked: await listParkedTexts(db, districtId, MOST),
  }
}

export interface DeadLetterDeed {
  readonly districtId: string
  readonly id: string
  readonly by: string
  /** The right number, where the old one was wrong; a family's number is set at the child. */
  readonly number?: string | undefined
}

/**
 * Sends a failed text again, or reads a parked one again. Reminders are planned again and asked once more whether
 * they make sense, for the line the child has by then.
 * @throws {Refusal} message-not-found, input-invalid, text-of-no-use
 */
export async function sendAgain(tx: Transaction, deps: Deps, deed: DeadLetterDeed): Promise<void> {
  const { districtId, id, by, number } = deed
  const at = deps.clock.now()
  if (await isParkedHere(tx, deed)) {
    await unparkTextIn(tx, id)
  } else {
    const text = await closeFailedText(tx, { id, districtId, by, at })
    if (text === undefined) throw new Refusal('message-not-found', 'No text on the list has this identifier.')
    if (text.purpose === 'reminder') {
      if (number !== undefined)
        throw new Refusal('input-invalid', "Set the family's number at the child; the reminder follows it.")
      if ((await planAgainFrom(tx, id, at)) === 0)
        throw new Refusal('text-of-no-use', 'Its day is over; close it instead.')
    } else await insertCopy(tx, deps, { districtId, number: number ?? text.number, body: text.body, at })
  }
  await noteDeed(tx, deps, 'send-again', deed)
}

/** Takes a failed text off the list. @throws {Refusal} message-not-found */
export async function closeDeadLetter(tx: Transaction, deps: Deps, deed: DeadLetterDeed): Promise<void> {
  const { districtId, id, by } = deed
  const closed = await closeFailedText(tx, { id, districtId, by, at: deps.clock.now() })
  if (closed === undefined) throw new Refusal('message-not-found', 'No text on the list has this identifier.')
  await noteDeed(tx, deps, 'close-dead-letter', deed)
}

async function isParkedHere(tx: Transaction, { districtId, id }: DeadLetterDeed): Promise<boolean> {
  return (await listParkedTexts(tx, districtId, MOST)).some((text) => text.id === id)
}

interface Copy {
  readonly districtId: string
  readonly number: string
  readonly body: string
  readonly at: Date
}

function insertCopy(tx: Transaction, deps: Deps, { districtId, number, body, at }: Copy): Promise<void> {
  return insertTextOut(tx, {
    id: deps.newId(),
    districtId,
    number,
    body,
    purpose: 'list',
    isUrgent: true,
    parts: measure(body).parts,
    inReplyTo: null,
    createdAt: at,
    sendAt: at,
    usefulUntil: new Date(at.getTime() + USEFUL_MS),
  })
}

function noteDeed(
  tx: Transaction,
  deps: Deps,
  act: string,
  { districtId, id, by }: DeadLetterDeed,
): Promise<void> {
  return noteChange(tx, deps, { districtId, actor: by, act, subject: { kind: 'text', id } })
}
