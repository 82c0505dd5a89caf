import { z } from 'zod'
import type { Db, Transaction } from './database.ts'
import { hold } from './hold.ts'
import { statement } from './statements.ts'

/** One link of the chain over the record of who saw or changed what. */
export interface AuditLink {
  readonly serial: bigint
  readonly changeId: string
  /** Of the entry alone. */
  readonly digest: string
  /** Of the chained digest before and this one. */
  readonly chained: string
}

/** Lets one process at a time add to the chain; lasts as long as the transaction. */
export async function holdChain(tx: Transaction): Promise<void> {
  await hold(tx, ['audit chain'])
}

export async function lastLink(db: Db): Promise<AuditLink | undefined> {
  return (await db.auditLink.findFirst({ orderBy: { serial: 'desc' } })) ?? undefined
}

const waitingRows = statement('take-audit-waiting', z.object({ change_id: z.string() }))

/** Takes entries that wait for their link, in order. */
export async function takeWaiting(tx: Transaction, limit: number): Promise<string[]> {
  return (await waitingRows(tx, limit)).map(({ change_id }) => change_id).sort()
}

export async function insertLinks(tx: Transaction, links: readonly AuditLink[]): Promise<void> {
  await tx.auditLink.createMany({ data: [...links] })
}

/** The links after a serial number, in order. */
export async function linksAfter(db: Db, serial: bigint, limit: number): Promise<AuditLink[]> {
  return db.auditLink.findMany({ where: { serial: { gt: serial } }, orderBy: { serial: 'asc' }, take: limit })
}

const unlinkedRows = statement('count-unlinked-changes', z.object({ entries: z.int() }))

export async function countUnlinked(db: Db, before: Date): Promise<number> {
  return (await unlinkedRows(db, before))[0]?.entries ?? 0
}
