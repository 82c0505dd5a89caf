import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import type { Decision } from '../core/schedule/own-plan.ts'
import type { ClinicalNote as NoteRow } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { fromDate, toDate } from './days.ts'

/** What a clinician decided for one child, and who wrote it down. */
export interface ClinicalNote {
  readonly id: string
  readonly childId: string
  readonly districtId: string
  readonly decision: Decision
  readonly reason: string
  /** Name or office of the clinician. */
  readonly decidedBy: string
  readonly notedBy: string
  readonly notedOn: Day
  readonly endedOn: Day | null
  readonly endedBy: string | null
}

const decision = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('put-off'),
    vaccine: z.string(),
    // A whole number of days is a Day.
    until: z.int().transform((days) => days as Day),
  }),
  z.object({ kind: z.literal('risk'), risk: z.string() }),
])

function note(row: NoteRow): ClinicalNote {
  return {
    id: row.id,
    childId: row.childId,
    districtId: row.districtId,
    decision: decision.parse(row.decision),
    reason: row.reason,
    decidedBy: row.decidedBy,
    notedBy: row.notedBy,
    notedOn: fromDate(row.notedOn),
    endedOn: row.endedOn === null ? null : fromDate(row.endedOn),
    endedBy: row.endedBy,
  }
}

export interface NewClinicalNote extends Omit<ClinicalNote, 'endedOn' | 'endedBy'> {
  readonly createdAt: Date
}

export async function insertClinicalNote(db: Db, given: NewClinicalNote): Promise<ClinicalNote> {
  const data = { ...given, decision: { ...given.decision }, notedOn: toDate(given.notedOn) }
  return note(await db.clinicalNote.create({ data }))
}

export async function findClinicalNote(
  db: Db,
  childId: string,
  id: string,
): Promise<ClinicalNote | undefined> {
  const row = await db.clinicalNote.findFirst({ where: { id, childId } })
  return row === null ? undefined : note(row)
}

export async function endClinicalNote(
  db: Db,
  id: string,
  end: { readonly on: Day; readonly by: string },
): Promise<void> {
  await db.clinicalNote.update({ where: { id }, data: { endedOn: toDate(end.on), endedBy: end.by } })
}

/** Every note of a child, the newest first. */
export async function clinicalNotesOf(db: Db, childId: string): Promise<ClinicalNote[]> {
  const rows = await db.clinicalNote.findMany({
    where: { childId },
    orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
  })
  return rows.map(note)
}

/** The notes in force in a district, the oldest first: they are looked at again from time to time. */
export async function clinicalNotesInForce(
  db: Db,
  districtId: string,
  limit: number,
): Promise<ClinicalNote[]> {
  const rows = await db.clinicalNote.findMany({
    where: { districtId, endedOn: null },
    orderBy: [{ notedOn: 'asc' }, { id: 'asc' }],
    take: limit,
  })
  return rows.map(note)
}
