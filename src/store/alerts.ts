import { z } from 'zod'
import type { AlertKind, AlertOnRecord } from '../core/reactions/reaction.ts'
import type { Alert as AlertRow } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { hold } from './hold.ts'
import { statement } from './statements.ts'

function alert(row: AlertRow): AlertOnRecord {
  return {
    id: row.id,
    districtId: row.districtId,
    number: row.number,
    // The table's check allows only these kinds.
    kind: row.kind as AlertKind,
    subject: row.subject,
    postId: row.postId,
    childId: row.childId,
    reactionId: row.reactionId,
    words: row.words,
    raisedAt: row.raisedAt,
    stepsDone: row.stepsDone,
    acknowledgedAt: row.acknowledgedAt,
    acknowledgedBy: row.acknowledgedBy,
    notifiedAt: row.notifiedAt,
    investigatedAt: row.investigatedAt,
    closedAt: row.closedAt,
  }
}

export interface NewAlert extends Pick<
  AlertOnRecord,
  'id' | 'districtId' | 'kind' | 'subject' | 'postId' | 'childId' | 'reactionId' | 'words' | 'raisedAt'
> {
  readonly nextStepAt: Date
}

/** The open alert of a kind about a subject. */
export async function findOpenAlert(
  db: Db,
  { districtId, kind, subject }: Pick<AlertOnRecord, 'districtId' | 'kind' | 'subject'>,
): Promise<AlertOnRecord | undefined> {
  const row = await db.alert.findFirst({ where: { districtId, kind, subject, closedAt: null } })
  return row === null ? undefined : alert(row)
}

/** Stores an alert under the district's next number; of one kind and subject only one is open at a time. */
export async function insertAlert(
  db: Db,
  given: NewAlert,
): Promise<{ readonly alert: AlertOnRecord; readonly isNew: boolean }> {
  await hold(db, [`alerts of ${given.districtId}`])
  const known = await findOpenAlert(db, given)
  if (known !== undefined) return { alert: known, isNew: false }
  const last = await db.alert.aggregate({ where: { districtId: given.districtId }, _max: { number: true } })
  const row = await db.alert.create({ data: { ...given, number: (last._max.number ?? 0) + 1 } })
  return { alert: alert(row), isNew: true }
}

export async function findAlert(db: Db, id: string): Promise<AlertOnRecord | undefined> {
  const row = await db.alert.findUnique({ where: { id } })
  return row === null ? undefined : alert(row)
}

const lockRows = statement('lock-alert', z.object({ id: z.string() }))

/** Holds an alert for the rest of the transaction. */
export async function lockAlert(db: Db, id: string): Promise<AlertOnRecord | undefined> {
  if ((await lockRows(db, id)).length === 0) return undefined
  return alert(await db.alert.findUniqueOrThrow({ where: { id } }))
}

/** Alerts of a district that are not closed, or all of them, newest first. */
export async function listAlerts(
  db: Db,
  districtId: string,
  which: { readonly isOpen?: true; readonly kinds?: readonly AlertKind[]; readonly limit: number },
): Promise<AlertOnRecord[]> {
  const { isOpen, kinds, limit } = which
  const rows = await db.alert.findMany({
    where: {
      districtId,
      ...(isOpen === true ? { closedAt: null } : {}),
      ...(kinds === undefined ? {} : { kind: { in: [...kinds] } }),
    },
    orderBy: [{ raisedAt: 'desc' }, { number: 'desc' }],
    take: limit,
  })
  return rows.map(alert)
}

const stepRows = statement('list-alerts-to-step', z.object({ id: z.string() }))

/** Alerts whose next step is due. */
export async function listAlertsToStep(db: Db, now: Date, limit: number): Promise<string[]> {
  return (await stepRows(db, now, limit)).map((row) => row.id)
}

export interface AlertChange {
  readonly stepsDone?: string[]
  readonly nextStepAt?: Date | null
  readonly acknowledgedAt?: Date
  readonly acknowledgedBy?: string
  readonly notifiedAt?: Date
  readonly notifiedBy?: string
  readonly investigatedAt?: Date
  readonly investigatedBy?: string
  readonly closedAt?: Date
}

export async function changeAlert(db: Db, id: string, change: AlertChange): Promise<AlertOnRecord> {
  return alert(await db.alert.update({ where: { id }, data: change }))
}
