import { z } from 'zod'
import type { ReportedDose } from '../core/operation/sender-limits.ts'
import type { Db } from './database.ts'
import type { ReviewKind } from './follow-up.ts'
import { statement } from './statements.ts'
import type { TextIn } from './texts.ts'

/** What one number or person sent of late. */

/** How many texts of its number came since `since`, this one counted. */
export async function countTextsUpTo(db: Db, text: TextIn, since: Date): Promise<number> {
  return db.textIn.count({
    where: { fromNumber: text.fromNumber, receivedAt: { gt: since }, id: { lte: text.id } },
  })
}

/** Puts a text aside unread. @param trouble why, as the list of such texts has it */
export async function putAside(db: Db, id: string, trouble: string, at: Date): Promise<void> {
  await db.textIn.update({ where: { id }, data: { trouble, parkedAt: at, pin: null } })
}

/** Whether a text of this number was put aside for the same trouble since `since`. */
export async function hasAside(db: Db, text: TextIn, trouble: string, since: Date): Promise<boolean> {
  const where = { fromNumber: text.fromNumber, trouble, receivedAt: { gt: since }, id: { lt: text.id } }
  return (await db.textIn.count({ where })) > 0
}

const doseRow = z
  .object({
    reported_at: z.date(),
    is_of_the_day: z.boolean(),
    latitude: z.number().nullable(),
    longitude: z.number().nullable(),
  })
  .transform(({ reported_at, is_of_the_day, ...place }): ReportedDose => ({
    reportedAt: reported_at,
    isOfTheDay: is_of_the_day,
    ...place,
  }))
const doseRows = statement('list-doses-of-sender', doseRow)

/** The doses that a person's texts reported since an instant. */
export async function listDosesOfSender(db: Db, personId: string, since: Date): Promise<ReportedDose[]> {
  return doseRows(db, personId, since)
}

/** Whether a person's texts were put before a manager for the same reason since `since`. */
export async function wasFlagged(db: Db, { districtId, personId, kind, since }: Flag): Promise<boolean> {
  const items = await db.reviewItem.findMany({
    where: { districtId, kind, createdAt: { gt: since } },
    select: { textInId: true },
  })
  const ids = items.flatMap(({ textInId }) => textInId ?? [])
  return (await db.textIn.count({ where: { id: { in: ids }, personId } })) > 0
}

export interface Flag {
  readonly districtId: string
  readonly personId: string
  readonly kind: ReviewKind
  readonly since: Date
}
