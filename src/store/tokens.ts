import { z } from 'zod'
import type { TokenRole } from '../core/rights/token-role.ts'
import type { Db } from './database.ts'

export type { TokenRole } from '../core/rights/token-role.ts'

export interface ApiToken {
  readonly id: string
  readonly name: string
  readonly role: TokenRole
  /** Null: every district. */
  readonly districtId: string | null
  /** Null: without end. */
  readonly expiresAt: Date | null
}

export interface NewToken extends ApiToken {
  readonly hash: string
  readonly createdAt: Date
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
  const { id, name, role, districtId, expiresAt } = row
  return { id, name, role: role as TokenRole, districtId, expiresAt }
}

/** A token as it is kept: who may do what with it, since when, until when, and when it was last used. */
export interface KeptToken extends ApiToken {
  readonly district: string | null
  readonly createdAt: Date
  readonly revokedAt: Date | null
  readonly lastUsedAt: Date | null
}

/** Every token there ever was, oldest first. */
export async function listTokens(db: Db): Promise<KeptToken[]> {
  const rows = await db.apiToken.findMany({
    include: { district: { select: { name: true } } },
    orderBy: { id: 'asc' },
  })
  return rows.map(({ district, role, ...row }) => ({
    ...row,
    role: role as TokenRole,
    district: district?.name ?? null,
  }))
}

/** Ends a token; `false` where none of this identifier stands. */
export async function revokeToken(db: Db, id: string, revokedAt: Date): Promise<boolean> {
  const { count } = await db.apiToken.updateMany({ where: { id, revokedAt: null }, data: { revokedAt } })
  return count > 0
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
