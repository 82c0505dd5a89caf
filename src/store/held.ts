import type { Db } from './database.ts'

/** What is held of one child, wherever it stands: read to be handed over, or to be removed. */

/** The record of a child and those that were merged into it. */
export async function recordsOf(db: Db, childId: string): Promise<string[]> {
  const found = [childId]
  for (let last = found; last.length > 0;) {
    const rows = await db.child.findMany({ where: { mergedInto: { in: last } }, select: { id: true } })
    last = rows.map(({ id }) => id)
    found.push(...last)
  }
  return found
}

/** Every row about these records, as the tables have it; texts aside. */
export async function rowsHeld(db: Db, ids: readonly string[]) {
  const where = { childId: { in: [...ids] } }
  const orderBy = { id: 'asc' } as const
  return {
    records: await db.child.findMany({ where: { id: { in: [...ids] } }, orderBy }),
    formerNames: await db.formerName.findMany({ where, orderBy }),
    addresses: await db.childAddress.findMany({ where, orderBy }),
    caregivers: await db.caregiver.findMany({ where, orderBy, include: { line: true } }),
    otherNumbers: await db.childNumber.findMany({ where }),
    doses: await db.dose.findMany({ where, orderBy }),
    dosesAgainstAdvice: await db.doseAgainstAdvice.findMany({ where: { dose: where } }),
    calendarLinks: await db.calendarLink.findMany({ where, omit: { secretHash: true }, orderBy }),
    statedDoses: await db.statedDose.findMany({ where }),
    dosesNotGiven: await db.doseNotGiven.findMany({ where, orderBy }),
    visits: await db.appointment.findMany({ where, orderBy }),
    reminders: await db.reminder.findMany({ where, orderBy }),
    reactions: await db.reaction.findMany({ where, orderBy }),
    alerts: await db.alert.findMany({ where, orderBy }),
    clinicalNotes: await db.clinicalNote.findMany({ where, orderBy }),
    questions: await db.reviewItem.findMany({ where: aboutAny(ids), orderBy }),
    merges: await db.childMerge.findMany({
      where: { OR: [{ staysId: { in: [...ids] } }, { leavesId: { in: [...ids] } }] },
      orderBy,
    }),
    changes: await db.change.findMany({ where: { subjectId: { in: [...ids] } }, orderBy }),
  }
}

export type RowsHeld = Awaited<ReturnType<typeof rowsHeld>>

/** What waits, or waited, for a person about one of these records. */
export function aboutAny(ids: readonly string[]) {
  return { OR: [{ childId: { in: [...ids] } }, { otherChildId: { in: [...ids] } }] }
}

/** Where texts about a child may be, and since when. */
export interface TextSearch {
  readonly districtIds: readonly string[]
  readonly since: Date
}

const BATCH = 1000

const START = '00000000-0000-0000-0000-000000000000'

type Batch = readonly { readonly id: string }[]

/** Goes through rows in order of identifier, a batch at a time. */
async function* inOrder<Rows extends Batch>(
  next: (after: string | null) => Promise<Rows>,
): AsyncGenerator<Rows> {
  let after: string | null | undefined = null
  while (after !== undefined) {
    const rows: Rows = await next(after)
    yield rows
    after = goOnAfter(rows)
  }
}

/** The row to go on after; undefined where a batch was the last one. */
export function goOnAfter(rows: Batch): string | undefined {
  return rows.length < BATCH ? undefined : rows.at(-1)?.id
}

const ofThese = (districtIds: readonly string[]) => ({
  emptiedAt: null,
  OR: [{ districtId: { in: [...districtIds] } }, { districtId: null }],
})

/** The next texts that came in and still have words, unknown senders' too. */
export function nextTextsIn(db: Db, { districtIds, since }: TextSearch, after: string | null) {
  const where = { id: { gt: after ?? START }, receivedAt: { gte: since }, ...ofThese(districtIds) }
  return db.textIn.findMany({ where, orderBy: { id: 'asc' }, take: BATCH })
}

/** The next texts that went out, or are to, and still have words. */
export function nextTextsOut(db: Db, { districtIds, since }: TextSearch, after: string | null) {
  const where = { id: { gt: after ?? START }, createdAt: { gte: since }, ...ofThese(districtIds) }
  return db.textOut.findMany({ where, orderBy: { id: 'asc' }, take: BATCH })
}

/** All of them, a batch at a time. */
export const textsInSince = (db: Db, search: TextSearch) => inOrder((after) => nextTextsIn(db, search, after))
export const textsOutSince = (db: Db, search: TextSearch) =>
  inOrder((after) => nextTextsOut(db, search, after))

/** Texts that an index leads to: by themselves, or as those of a number, and the answers to them. */
export async function textsOf(
  db: Db,
  { ids, numbers }: { readonly ids: readonly string[]; readonly numbers: readonly string[] },
): Promise<{ readonly in: string[]; readonly out: string[] }> {
  const [some, of] = [{ in: [...ids] }, { in: [...numbers] }]
  const select = { id: true }
  const came = await db.textIn.findMany({ where: { OR: [{ id: some }, { fromNumber: of }] }, select })
  const into = came.map(({ id }) => id)
  const where = { OR: [{ id: some }, { number: of }, { inReplyTo: { in: into } }] }
  const went = await db.textOut.findMany({ where, select })
  return { in: into, out: went.map(({ id }) => id) }
}

/** The answers to texts. */
export async function answersTo(db: Db, ids: readonly string[]): Promise<string[]> {
  const rows = await db.textOut.findMany({ where: { inReplyTo: { in: [...ids] } }, select: { id: true } })
  return rows.map(({ id }) => id)
}

/** Lines that also serve, or served, a child that is none of these, or that a worker has: they stay as they are. */
export async function linesOfOthers(
  db: Db,
  ids: readonly string[],
  numbers: readonly string[],
): Promise<ReadonlySet<string>> {
  const others = await db.phoneLine.findMany({
    where: { number: { in: [...numbers] }, caregivers: { some: { childId: { notIn: [...ids] } } } },
    select: { number: true },
  })
  const staff = await db.person.findMany({
    where: { phone: { in: [...numbers] } },
    select: { phone: true },
  })
  return new Set([...others.map(({ number }) => number), ...staff.map(({ phone }) => phone)])
}
