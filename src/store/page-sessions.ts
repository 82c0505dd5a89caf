import { z } from 'zod'
import type { Db } from './database.ts'
import { vaultOf } from './sealing/seal-client.ts'
import { statement } from './statements.ts'

/** A code that was asked for. */
export interface NewSignInCode {
  readonly id: string
  /** Null: nobody works under the number. */
  readonly personId: string | null
  readonly numberDigest: string
  readonly codeDigest: string
  readonly createdAt: Date
  readonly expiresAt: Date
}

export async function insertSignInCode(db: Db, code: NewSignInCode): Promise<void> {
  await db.signInCode.create({ data: code })
}

/** Forgets codes older than anything that is counted. */
export async function forgetSignInCodes(db: Db, before: Date): Promise<void> {
  await db.signInCode.deleteMany({ where: { createdAt: { lt: before } } })
}

const countRows = statement('count-sign-in-tries', z.object({ codes: z.int(), tries: z.int() }))

/** Codes asked for with a number since an instant that let nobody in, and the tries made with them. */
export async function countSignInTries(
  db: Db,
  numberDigest: string,
  since: Date,
): Promise<{ readonly codes: number; readonly tries: number }> {
  return (await countRows(db, vaultOf(db).formsOf(numberDigest), since))[0] ?? { codes: 0, tries: 0 }
}

const tryRow = z
  .object({ person_id: z.string().nullable(), number_digest: z.string(), code_digest: z.string() })
  .transform((row) => ({
    personId: row.person_id,
    numberDigest: row.number_digest,
    codeDigest: row.code_digest,
  }))
const tryRows = statement('take-sign-in-try', tryRow)

/** Takes a try of a code; `undefined` when it is used up, used or past its time. */
export async function takeSignInTry(
  db: Db,
  id: string,
  now: Date,
  mostTries: number,
): Promise<z.output<typeof tryRow> | undefined> {
  return (await tryRows(db, id, now, mostTries))[0]
}

/** False when the code was used before. */
export async function useSignInCode(db: Db, id: string, at: Date): Promise<boolean> {
  const { count } = await db.signInCode.updateMany({ where: { id, usedAt: null }, data: { usedAt: at } })
  return count === 1
}

/** A link that lets one person in once. */
export interface NewSignInLink {
  readonly digest: string
  readonly personId: string
  readonly createdAt: Date
  readonly expiresAt: Date
}

export async function insertSignInLink(db: Db, link: NewSignInLink): Promise<void> {
  await db.signInLink.create({ data: link })
}

/** Uses a link; answers whom it lets in, `undefined` when it was used or is past its time. */
export async function useSignInLink(db: Db, digest: string, now: Date): Promise<string | undefined> {
  const { count } = await db.signInLink.updateMany({
    where: { digest, usedAt: null, expiresAt: { gt: now } },
    data: { usedAt: now },
  })
  if (count === 0) return undefined
  return (await db.signInLink.findUniqueOrThrow({ where: { digest } })).personId
}

export interface NewPageSession {
  readonly id: string
  readonly digest: string
  readonly personId: string | null
  readonly tokenId: string | null
  readonly createdAt: Date
  readonly seenAt: Date
  readonly expiresAt: Date
}

export async function insertPageSession(db: Db, session: NewPageSession): Promise<void> {
  await db.pageSession.create({ data: session })
}

const holderRow = z
  .object({
    id: z.string(),
    seen_at: z.date(),
    name: z.string(),
    role: z.enum(['vaccinator', 'officer', 'manager', 'operator', 'machine']),
    district_id: z.string().nullable(),
    holder_id: z.string(),
    expires_at: z.date().nullable(),
  })
  .transform(({ seen_at, district_id, holder_id, expires_at, ...row }) => ({
    ...row,
    seenAt: seen_at,
    districtId: district_id,
    holderId: holder_id,
    expiresAt: expires_at,
  }))
const holderRows = statement('find-page-session', holderRow)

/** The holder of a session that was seen after `seenAfter` and has not ended. */
export async function findPageSession(
  db: Db,
  digest: string,
  now: Date,
  seenAfter: Date,
): Promise<z.output<typeof holderRow> | undefined> {
  return (await holderRows(db, digest, now, seenAfter))[0]
}

/** A session that still lets its holder in. */
export interface OpenSession {
  readonly id: string
  readonly createdAt: Date
  readonly seenAt: Date
  readonly expiresAt: Date
}

/** The open sessions of a person or a token, newest first. */
export async function listOpenSessions(
  db: Db,
  holderId: string,
  { now, seenAfter }: { readonly now: Date; readonly seenAfter: Date },
): Promise<OpenSession[]> {
  return db.pageSession.findMany({
    where: { ...ofHolder(holderId), endedAt: null, expiresAt: { gt: now }, seenAt: { gt: seenAfter } },
    orderBy: { id: 'desc' },
    select: { id: true, createdAt: true, seenAt: true, expiresAt: true },
  })
}

const ofHolder = (holderId: string) => ({ OR: [{ personId: holderId }, { tokenId: holderId }] })

/** Ends an open session of a person or a token; false where they have none such. */
export async function endSessionOf(
  db: Db,
  { id, holderId, at }: { readonly id: string; readonly holderId: string; readonly at: Date },
): Promise<boolean> {
  const where = { id, endedAt: null, ...ofHolder(holderId) }
  return (await db.pageSession.updateMany({ where, data: { endedAt: at } })).count === 1
}

export async function seePageSession(db: Db, id: string, at: Date): Promise<void> {
  await db.pageSession.update({ where: { id }, data: { seenAt: at } })
}

export async function endPageSession(db: Db, id: string, at: Date): Promise<void> {
  await db.pageSession.updateMany({ where: { id, endedAt: null }, data: { endedAt: at } })
}
