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

type Batch = readonly { readonly id: string }[]

/** Goes through rows in order of identifier, a batch at a time. */
async function* inOrder<Rows extends Batch>(page: (after: string) => Promise<Rows>): AsyncGenerator<Rows> {
  let after = '00000000-0000-0000-0000-000000000000'
  for (;;) {
    const rows = await page(after)
    yield rows
    if (rows.length < BATCH) return
    after = rows.at(-1)?.id ?? after
  }
}

/** Texts that came in, unknown senders' too. */
export function textsInSince(db: Db, { districtIds, since }: TextSearch) {
  return inOrder((after) =>
    db.textIn.findMany({
      where: {
        id: { gt: after },
        receivedAt: { gte: since },
        OR: [{ districtId: { in: [...districtIds] } }, { districtId: null }],
      },
      orderBy: { id: 'asc' },
      take: BATCH,
    }),
  )
}

/** Texts that went out, or are to. */
export function textsOutSince(db: Db, { districtIds, since }: TextSearch) {
  return inOrder((after) =>
    db.textOut.findMany({
      where: {
        id: { gt: after },
        createdAt: { gte: since },
        OR: [{ districtId: { in: [...districtIds] } }, { districtId: null }],
      },
      orderBy: { id: 'asc' },
      take: BATCH,
    }),
  )
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
