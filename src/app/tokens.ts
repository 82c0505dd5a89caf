import { createHash } from 'node:crypto'
import { Refusal } from '../core/refusals.ts'
import type { Db, Transaction } from '../store/database.ts'
import { insertToken, revokeToken, useToken } from '../store/tokens.ts'
import type { ApiToken, TokenRole } from '../store/tokens.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'

export { listTokens } from '../store/tokens.ts'
export type { KeptToken, TokenRole } from '../store/tokens.ts'

/** Who calls: a token, its role and the district it is bound to. */
export type Principal = ApiToken

/** Only the digest of a secret is stored: whoever reads the table cannot sign in with it. */
export function digest(secret: string): string {
  return createHash('sha256').update(secret).digest('hex')
}

/** The caller behind a bearer token, unless it is unknown, revoked or past its time. */
export function principalOf(deps: Deps, secret: string): Promise<Principal | undefined> {
  return useToken(deps.database.db, digest(secret), deps.clock.now())
}

export interface TokenWish {
  readonly name: string
  readonly role: TokenRole
  /** Null: every district. */
  readonly districtId: string | null
  readonly expiresAt: Date | null
}

/** Makes a token; the secret is handed out once and kept nowhere. */
export function makeToken(deps: Deps, newSecret: () => string, wish: TokenWish): Promise<NewSecretToken> {
  return storeToken(deps.database.db, { ...deps, newSecret }, wish)
}

export interface NewSecretToken {
  readonly id: string
  readonly secret: string
}

/** The same on a handle of its own, such as a transaction. */
export async function storeToken(
  db: Db,
  deps: Pick<Deps, 'newId' | 'newSecret' | 'clock'>,
  wish: TokenWish,
): Promise<NewSecretToken> {
  const id = deps.newId()
  const secret = deps.newSecret()
  await insertToken(db, { id, ...wish, hash: digest(secret), createdAt: deps.clock.now() })
  return { id, secret }
}

const BY_COMMAND = { districtId: null, by: 'duebell' } as const

/** Ends a token for good, and with it the page sessions it opened. @throws {Refusal} resource-not-found */
export async function endToken(
  tx: Transaction,
  deps: Deps,
  id: string,
  { districtId, by }: { readonly districtId: string | null; readonly by: string } = BY_COMMAND,
): Promise<void> {
  if (!(await revokeToken(tx, id, deps.clock.now())))
    throw new Refusal('resource-not-found', `No token ${id} stands; see \`duebell tokens list\`.`)
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: 'revoke-token',
    subject: { kind: 'token', id },
  })
}
