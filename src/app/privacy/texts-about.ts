import { tellsOf } from '../../core/children/tells-of.ts'
import type { Marks } from '../../core/children/tells-of.ts'
import type { Db } from '../../store/database.ts'
import { textsInSince, textsOutSince } from '../../store/held.ts'
import type { RowsHeld } from '../../store/held.ts'

/** A text may have waited for so long before the child it enrols was on record. */
const BEFORE_MS = 7 * 24 * 3_600_000

/** Since when there is anything about a child. */
export function heldSince({ records }: Pick<RowsHeld, 'records'>): Date {
  return new Date(Math.min(...records.map(({ createdAt }) => createdAt.getTime())) - BEFORE_MS)
}

/**
 * Texts about a child: of a number that is only its family's, that a row about it leads to, that name its card or its
 * whole name, and the answers to such. Texts are sealed, so each of the child's districts since its enrolment is read.
 */
export async function textsAbout(db: Db, held: RowsHeld, ownNumbers: ReadonlySet<string>) {
  const search = { districtIds: districtsOf(held), since: heldSince(held) }
  const marks = marksOf(held)
  const led = ledTo(held)
  const came = []
  for await (const texts of textsInSince(db, search))
    came.push(
      ...texts.filter(
        ({ id, fromNumber, body }) => led.has(id) || ownNumbers.has(fromNumber) || tellsOf(body, marks),
      ),
    )
  const answered = new Set(came.map(({ id }) => id))
  const went = []
  for await (const texts of textsOutSince(db, search))
    went.push(
      ...texts.filter(
        ({ id, number, body, inReplyTo }) =>
          led.has(id) || ownNumbers.has(number) || answered.has(inReplyTo ?? '') || tellsOf(body, marks),
      ),
    )
  return { came, went }
}

/** By what a text names the child. */
export function marksOf({ records, formerNames }: Pick<RowsHeld, 'records' | 'formerNames'>): Marks {
  return {
    cards: records.map(({ cardNumber }) => cardNumber),
    names: [...records, ...formerNames].map(({ name }) => name),
  }
}

/** Every district that had the child. */
export function districtsOf({ records, visits, doses, reminders }: RowsHeld): string[] {
  return [...new Set([...records, ...visits, ...doses, ...reminders].map(({ districtId }) => districtId))]
}

/** The texts that rows about the child name. */
export function ledTo({
  doses,
  dosesNotGiven,
  reactions,
  questions,
  reminders,
}: RowsHeld): ReadonlySet<string> {
  const came = [...doses, ...dosesNotGiven, ...reactions, ...questions].map(({ textInId }) => textInId)
  const went = reminders.map(({ textOutId }) => textOutId)
  return new Set([...came, ...went].filter((id) => id !== null))
}
