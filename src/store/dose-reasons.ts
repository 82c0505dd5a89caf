import type { Db } from './database.ts'

/** Why a dose was given that does not count. */
export interface DoseReason {
  readonly doseId: string
  readonly reason: string
  readonly notedBy: string
  readonly notedAt: Date
}

/** The last word counts. */
export async function putDoseReason(db: Db, { doseId, ...rest }: DoseReason): Promise<void> {
  await db.doseAgainstAdvice.upsert({ where: { doseId }, create: { doseId, ...rest }, update: rest })
}

/** The reasons on record for a child's doses, by dose. */
export async function doseReasonsOf(db: Db, childId: string): Promise<ReadonlyMap<string, DoseReason>> {
  const rows = await db.doseAgainstAdvice.findMany({ where: { dose: { childId } } })
  return new Map(rows.map((row) => [row.doseId, row]))
}

/** True where a rule speaks against a dose, in one of its series at least. */
export async function isAgainstRule(db: Db, doseId: string): Promise<boolean> {
  const against = { doseId, isValid: false, reason: { not: null } }
  return (await db.doseVerdict.count({ where: against })) > 0
}
