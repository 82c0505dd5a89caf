import type { CalendarLink as LinkRow } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'

/** Whose days a calendar follows. */
export type CalendarOf =
  { readonly kind: 'post'; readonly postId: string } | { readonly kind: 'child'; readonly childId: string }

export interface CalendarLink {
  readonly id: string
  readonly districtId: string
  readonly of: CalendarOf
  readonly madeBy: string
  readonly madeAt: Date
  readonly endedAt: Date | null
}

function link(row: LinkRow): CalendarLink {
  const { id, districtId, postId, childId, madeBy, madeAt, endedAt } = row
  // The table's check allows exactly one of them.
  const of: CalendarOf =
    postId === null ? { kind: 'child', childId: childId ?? '' } : { kind: 'post', postId }
  return { id, districtId, of, madeBy, madeAt, endedAt }
}

export interface NewCalendarLink extends Omit<CalendarLink, 'endedAt'> {
  readonly secretHash: string
}

export async function insertCalendarLink(db: Db, { of, ...given }: NewCalendarLink): Promise<CalendarLink> {
  const whose = of.kind === 'post' ? { postId: of.postId } : { childId: of.childId }
  return link(await db.calendarLink.create({ data: { ...given, ...whose } }))
}

/** The link of a secret, while it stands. */
export async function findCalendarLink(db: Db, secretHash: string): Promise<CalendarLink | undefined> {
  const row = await db.calendarLink.findFirst({ where: { secretHash, endedAt: null } })
  return row === null ? undefined : link(row)
}

/** The links of a district, the newest first. */
export async function listCalendarLinks(db: Db, districtId: string, limit: number): Promise<CalendarLink[]> {
  const rows = await db.calendarLink.findMany({
    where: { districtId },
    orderBy: [{ madeAt: 'desc' }, { id: 'desc' }],
    take: limit,
  })
  return rows.map(link)
}

/** Ends a link of a district; false where there is none that stands. */
export async function endCalendarLink(db: Db, districtId: string, id: string, at: Date): Promise<boolean> {
  const { count } = await db.calendarLink.updateMany({
    where: { id, districtId, endedAt: null },
    data: { endedAt: at },
  })
  return count > 0
}
