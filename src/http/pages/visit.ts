import type { Request } from 'express'
import { z } from 'zod'
import type { Deps } from '../../app/deps.ts'
import { openDistrict } from '../../app/pages/district-scope.ts'
import type { DistrictScope } from '../../app/pages/district-scope.ts'
import { Refusal } from '../../core/refusals.ts'
import { proveDistrict, signedIn } from './guard.ts'
import type { SignedIn } from './guard.ts'

/** One reading of a page by someone who may. */
export interface Visit extends SignedIn {
  readonly scope: DistrictScope
  readonly params: Readonly<Record<string, string>>
  readonly query: unknown
}

/** Lets a visitor into the district that the address names. @throws {Refusal} not-signed-in, district-not-found */
export async function visitDistrict(deps: Deps, request: Request): Promise<Visit> {
  const who = await signedIn(deps, request)
  const params = Object.fromEntries(
    Object.entries(request.params).map(([name, value]) => [name, String(value)]),
  )
  const isBroken = Object.entries(params).some(([name, value]) => name.endsWith('Id') && !isId(value))
  if (isBroken) throw new Refusal('route-not-found', 'Nothing is at this address; go back to the district.')
  const districtId = params['districtId'] ?? ''
  proveDistrict(who.visitor, districtId)
  // The page of a child or a pair is where a note that was just saved is looked for.
  const freshness = 'childId' in params || 'itemId' in params ? 'fresh' : 'may-lag'
  const scope = await openDistrict(deps, districtId, freshness)
  return { ...who, scope, params, query: request.query }
}

function isId(value: string): boolean {
  return z.uuid().safeParse(value).success
}
