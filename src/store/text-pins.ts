import { createHash } from 'node:crypto'
import type { TextPin } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { hold } from './hold.ts'
import { vaultOf } from './sealing/seal-client.ts'

/** The PIN of a worker, and how it stands. Digests come with their salt. */
export type PinOnRecord = Omit<TextPin, 'personId'>

/** A PIN and the right to try it, for the rest of the transaction; `undefined` where none was ever made. */
export async function holdPin(db: Db, personId: string): Promise<PinOnRecord | undefined> {
  await hold(db, [`pin of ${personId}`])
  return (await db.textPin.findUnique({ where: { personId } })) ?? undefined
}

/** Makes or changes what is on record of a PIN. */
export async function putPin(db: Db, personId: string, pin: PinOnRecord): Promise<void> {
  await db.textPin.upsert({ where: { personId }, create: { personId, ...pin }, update: pin })
}

/** How the PINs of a district's people stand, by person. */
export async function listPins(db: Db, districtId: string): Promise<ReadonlyMap<string, PinOnRecord>> {
  const rows = await db.textPin.findMany({ where: { person: { districtId } } })
  return new Map(rows.map(({ personId, ...pin }) => [personId, pin]))
}

/**
 * By which a text with a PIN is known again: gateways make keys of the words of a text, of which only the PIN would
 * have to be tried out.
 */
export function keyedKey(db: Db, key: string): string {
  return createHash('sha256').update(vaultOf(db).seal('number', key)).digest('hex')
}
