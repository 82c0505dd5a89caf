import type { Request } from 'express'
import type { Deps } from '../../app/deps.ts'
import { openDistrict } from '../../app/pages/district-scope.ts'
import type { DistrictScope } from '../../app/pages/district-scope.ts'
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
  const districtId = params['districtId'] ?? ''
  proveDistrict(who.visitor, districtId)
  return { ...who, scope: await openDistrict(deps, districtId), params, query: request.query }
}
