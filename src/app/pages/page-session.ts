import { Refusal } from '../../core/refusals.ts'
import type { Db } from '../../store/database.ts'
import {
  endPageSession,
  endSessionOf,
  findPageSession,
  insertPageSession,
  listOpenSessions,
  seePageSession,
} from '../../store/page-sessions.ts'
import type { OpenSession } from '../../store/page-sessions.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { digest } from '../tokens.ts'
import type { TokenRole } from '../tokens.ts'

/** Who may read the pages: they hold names and villages of children. */
const PAGE_ROLES = ['manager', 'officer'] as const
export type PageRole = (typeof PAGE_ROLES)[number]

/** Someone who is signed in to the pages. */
export interface Visitor {
  readonly sessionId: string
  /** The person or the token behind the session; stands in the change log. */
  readonly holderId: string
  readonly name: string
  readonly role: PageRole
  /** Null: every district. */
  readonly districtId: string | null
  /** When the token behind the session ends; null: never, or a person is behind it. */
  readonly expiresAt: Date | null
}

const MINUTE_MS = 60_000
/** A session that nobody uses ends: a screen left open in an office is closed before long. */
const IDLE_MS = 30 * MINUTE_MS
/** A session ends after a working day, used or not. */
const LONGEST_MS = 12 * 60 * MINUTE_MS
/** Use is noted at most this often, so that reading pages hardly writes. */
const NOTE_MS = MINUTE_MS

/** Whom a session is for. */
export type Holder =
  { readonly kind: 'person'; readonly id: string } | { readonly kind: 'token'; readonly id: string }

export function isPageRole(role: TokenRole): role is PageRole {
  return PAGE_ROLES.some((allowed) => allowed === role)
}

/** Opens a session; answers its secret, which is handed out once and kept nowhere. */
export async function openPageSession(
  db: Db,
  deps: Deps,
  newSecret: () => string,
  holder: Holder,
): Promise<string> {
  const id = deps.newId()
  const secret = newSecret()
  const now = deps.clock.now()
  await insertPageSession(db, {
    id,
    digest: digest(secret),
    personId: holder.kind === 'person' ? holder.id : null,
    tokenId: holder.kind === 'token' ? holder.id : null,
    createdAt: now,
    seenAt: now,
    expiresAt: new Date(now.getTime() + LONGEST_MS),
  })
  await noteChange(db, deps, {
    districtId: null,
    actor: holder.id,
    act: 'sign-in',
    subject: { kind: 'page-session', id },
  })
  return secret
}

/** The visitor behind a session's secret, unless it ended, stood idle, or its holder may no longer enter. */
export async function visitorOf(deps: Deps, secret: string): Promise<Visitor | undefined> {
  const { db } = deps.database
  const now = deps.clock.now()
  const found = await findPageSession(db, digest(secret), now, new Date(now.getTime() - IDLE_MS))
  if (found === undefined || !isPageRole(found.role)) return undefined
  if (now.getTime() - found.seenAt.getTime() > NOTE_MS) await seePageSession(db, found.id, now)
  const { id, holderId, name, role, districtId, expiresAt } = found
  return { sessionId: id, holderId, name, role, districtId, expiresAt }
}

/** The sessions with which whoever visits is signed in, newest first. */
export function ownSessions({ database, clock }: Deps, { holderId }: Visitor): Promise<OpenSession[]> {
  const now = clock.now()
  return listOpenSessions(database.db, holderId, { now, seenAfter: new Date(now.getTime() - IDLE_MS) })
}

/** Ends one of the visitor's own sessions, on this device or another. @throws {Refusal} resource-not-found */
export async function endOwnSession(deps: Deps, { holderId }: Visitor, id: string): Promise<void> {
  await deps.database.transaction(async (tx) => {
    if (!(await endSessionOf(tx, { id, holderId, at: deps.clock.now() })))
      throw new Refusal('resource-not-found', 'You have no open session of this identifier.')
    await noteChange(tx, deps, {
      districtId: null,
      actor: holderId,
      act: 'end-session',
      subject: { kind: 'page-session', id },
    })
  })
}

export async function signOut(deps: Deps, visitor: Visitor): Promise<void> {
  await endPageSession(deps.database.db, visitor.sessionId, deps.clock.now())
}
