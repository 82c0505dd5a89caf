/** Who may do what on the pages; every way in passes here. */
import { createHash, timingSafeEqual } from 'node:crypto'
import type { Request } from 'express'
import { z } from 'zod'
import type { Deps } from '../../app/deps.ts'
import { visitorOf } from '../../app/pages/page-session.ts'
import type { Visitor } from '../../app/pages/page-session.ts'
import { checkData } from '../../core/checked-data.ts'
import { Refusal } from '../../core/refusals.ts'
import { sessionSecret } from './session-cookie.ts'

/** A visitor and the token that their forms carry. */
export interface SignedIn {
  readonly visitor: Visitor
  readonly formToken: string
}

/** The visitor behind a request. @throws {Refusal} not-signed-in */
export async function signedIn(deps: Deps, request: Request): Promise<SignedIn> {
  const secret = sessionSecret(request)
  const visitor = secret === undefined ? undefined : await visitorOf(deps, secret)
  if (secret !== undefined && visitor !== undefined) return { visitor, formToken: formTokenOf(secret) }
  throw new Refusal('not-signed-in', 'Sign in to read the pages of a district.')
}

/** Follows from the session and does not give it away; a page of another site cannot know it. */
function formTokenOf(secret: string): string {
  return createHash('sha256').update(`form ${secret}`).digest('base64url')
}

const tokenField = z.object({ formToken: z.string() })

/** Proves that a form was made for this visitor. @throws {Refusal} not-allowed */
export function proveForm(request: Request, { formToken }: SignedIn): void {
  proveOwnSite(request)
  const field = tokenField.safeParse(request.body)
  if (field.success && isSame(field.data.formToken, formToken)) return
  throw new Refusal('not-allowed', 'This form is out of date; go back, load the page again and send it anew.')
}

function isSame(one: string, other: string): boolean {
  const [a, b] = [Buffer.from(one), Buffer.from(other)]
  return a.length === b.length && timingSafeEqual(a, b)
}

/** Refuses what a page of another site sends in a visitor's name. @throws {Refusal} not-allowed */
export function proveOwnSite(request: Request): void {
  const site = request.get('sec-fetch-site')
  const origin = request.get('origin')
  const isOwnSite = site === undefined || site === 'same-origin' || site === 'none'
  const isOwnOrigin = origin === undefined || origin.replace(/^https?:\/\//, '') === request.get('host')
  if (!isOwnSite || !isOwnOrigin) throw new Refusal('not-allowed', 'This form was sent from another site.')
}

/** What was sent, in the shape it must have. @throws {Refusal} input-invalid */
export function proven<Value>(shape: z.ZodType<Value>, sent: unknown): Value {
  const checked = checkData(shape, sent)
  if (checked.kind === 'valid') return checked.value
  throw new Refusal('input-invalid', checked.problems.join('; '))
}

/** Visitors of one district find no other one. @throws {Refusal} district-not-found */
export function proveDistrict({ districtId }: Visitor, wanted: string): void {
  if (districtId === null || districtId === wanted) return
  throw new Refusal('district-not-found', 'There is no such district here.')
}
