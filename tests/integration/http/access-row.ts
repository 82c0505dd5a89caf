/** What a row of the table of access is, and how rows are written; the table is access.ts. */
import type { TokenRole } from '../../../src/app/tokens.ts'
import type { TestDistrict } from '../../support/test-district.ts'

/** A district with something of every kind in it. */
export interface Place {
  readonly district: TestDistrict
  readonly childId: string
  readonly doseId: string
  readonly postId: string
  readonly vialId: string
  /** A text that failed. */
  readonly failedTextId: string
  readonly reactionId: string
  readonly alertId: string
  readonly recallId: string
  /** A pair that may be one child, and the other child of it. */
  readonly doubleId: string
  readonly otherChildId: string
  readonly webhookId: string
  /** A vaccinator. */
  readonly personId: string
}

export interface AccessRow {
  /** Every role that may; the others may not. */
  readonly roles: readonly TokenRole[]
  /** True where a call is about one district, and a token of another is refused. */
  readonly isBound: boolean
  /** The address with real identifiers, and a body that is right. */
  readonly at: (place: Place) => { readonly path: string; readonly body?: unknown }
}

export const STAFF = ['vaccinator', 'manager', 'officer', 'machine'] as const
export const LEADERS = ['manager', 'officer'] as const
export const EVERYONE = ['vaccinator', 'manager', 'officer', 'operator', 'machine'] as const

export const bound = (
  roles: readonly TokenRole[],
  at: (place: Place) => string,
  body?: (place: Place) => unknown,
): AccessRow => ({
  roles,
  isBound: true,
  at: (place) => ({ path: at(place), ...(body === undefined ? {} : { body: body(place) }) }),
})

export const unbound = (roles: readonly TokenRole[], path: string, body?: unknown): AccessRow => ({
  roles,
  isBound: false,
  at: () => ({ path, ...(body === undefined ? {} : { body }) }),
})

export const child = ({ childId }: Place): string => `/v1/children/${childId}`
export const webhook = ({ webhookId }: Place): string => `/v1/webhooks/${webhookId}`
export const district = (place: Place): string => `/v1/districts/${place.district.id}`

export const NOWHERE = '019abe80-0000-7000-8000-000000000000'
