import { z } from 'zod'
import type { Db } from './database.ts'

export type TokenRole = 'officer' | 'manager' | 'vaccinator' | 'operator' | 'machine'

export interface ApiToken {
  readonly id: string
  readonly name: string
  readonly role: TokenRole
  /** Null: every district. */
  readonly districtId: string | null
}

export interface NewToken extends ApiToken {
  readonly hash: string
  readonly createdAt: Date
  readonly expiresAt: Date | null
}

export async function insertToken(db: Db, token: NewToken): Promise<void> {
  await db.apiToken.create({ data: token })
}

/** The living token with this hash; finding it notes its use. */
export async function useToken(db: Db, hash: string, now: Date): Promise<ApiToken | undefined> {
  const row = await db.apiToken.findUnique({ where: { hash } })
  const isLiving = row?.revokedAt === null && (row.expiresAt === null || row.expiresAt > now)
  if (!isLiving) return undefined
  await db.apiToken.update({ where: { id: row.id }, data: { lastUsedAt: now } })
  // The table's check allows only these roles.
  return { id: row.id, name: row.name, role: row.role as TokenRole, districtId: row.districtId }
}

const answerBody = z.json()

export interface KeptAnswer {
  readonly requestDigest: string
  readonly status: number
  readonly body: z.infer<typeof answerBody>
}

/** The answer kept for an idempotency key of a token. */
export async function findKeptAnswer(db: Db, tokenId: string, key: string): Promise<KeptAnswer | undefined> {
  const row = await db.idempotencyKey.findUnique({ where: { tokenId_key: { tokenId, key } } })
  return row === null
    ? undefined
    : { requestDigest: row.requestDigest, status: row.status, body: answerBody.parse(row.body) }
}

export interface NewKeptAnswer extends KeptAnswer {
  readonly tokenId: string
  readonly key: string
  readonly createdAt: Date
}

export async function insertKeptAnswer(db: Db, answer: NewKeptAnswer): Promise<void> {
  // Postgres tells JSON null from SQL null; an answer without a body is JSON null.
  await db.idempotencyKey.create({ data: { ...answer, body: answer.body ?? 'null' } })
}
