import { isBelow, mayGive } from '../core/rights/may-give.ts'
import type { Right } from '../core/rights/may-give.ts'
import { Refusal } from '../core/refusals.ts'
import type { Db, Transaction } from '../store/database.ts'
import { listTokens } from '../store/tokens.ts'
import type { KeptToken, TokenRole } from '../store/tokens.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'
import { endToken, storeToken } from './tokens.ts'

const DAY_MS = 86_400_000

export interface TokenGift {
  readonly giver: Right & { readonly name: string }
  readonly districtId: string
  readonly name: string
  readonly role: TokenRole
  readonly days: number
}

export interface GivenToken {
  readonly id: string
  readonly secret: string
  readonly expiresAt: Date
}

/** Names of the record that are nobody's to choose: of the service, and identifiers. */
const RESERVED = /^(duebell.*|[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12})$/i

/** @throws {Refusal} input-invalid */
function refuseOthersName(name: string): void {
  if (RESERVED.test(name.trim()))
    throw new Refusal(
      'input-invalid',
      'This name stands for another in the record; choose one that says who it is.',
    )
}

/** Makes a token for someone who may do less than its giver; it ends with the giver's at the latest. @throws {Refusal} not-allowed */
export async function giveToken(tx: Transaction, deps: Deps, gift: TokenGift): Promise<GivenToken> {
  const { giver, districtId, name, role, days } = gift
  refuseOthersName(name)
  const wished = new Date(deps.clock.now().getTime() + days * DAY_MS)
  const expiresAt = giver.expiresAt !== null && giver.expiresAt < wished ? giver.expiresAt : wished
  if (!mayGive(giver, { role, districtId, expiresAt }))
    throw new Refusal('not-allowed', `A ${giver.role} may not make a token of a ${role} here.`)
  const made = await storeToken(tx, deps, { name, role, districtId, expiresAt })
  await noteChange(tx, deps, {
    districtId,
    actor: giver.name,
    act: 'make-token',
    subject: { kind: 'token', id: made.id },
    after: { role, expiresAt: expiresAt.toISOString() },
  })
  return { ...made, expiresAt }
}

/** The tokens of a district, oldest first, without those that enter every district. */
export async function tokensOf(db: Db, districtId: string): Promise<KeptToken[]> {
  return (await listTokens(db)).filter((token) => token.districtId === districtId)
}

export interface TokenEnd {
  readonly ender: Pick<Right, 'role'> & { readonly name: string }
  readonly districtId: string
  readonly tokenId: string
}

/** Ends a token of the district that may do less than whoever ends it. @throws {Refusal} resource-not-found, not-allowed */
export async function takeTokenBack(tx: Transaction, deps: Deps, end: TokenEnd): Promise<void> {
  const { ender, districtId, tokenId } = end
  const token = (await tokensOf(tx, districtId)).find(({ id }) => id === tokenId)
  if (token === undefined)
    throw new Refusal('resource-not-found', 'No token of this district has this identifier.')
  if (!isBelow(token.role, ender.role))
    throw new Refusal(
      'not-allowed',
      `A ${ender.role} may not end a token of a ${token.role}; ask an operator.`,
    )
  await endToken(tx, deps, tokenId, { districtId, by: ender.name })
}
