import type { TokenRole } from './token-role.ts'

/** Who may do what, where and until when. */
export interface Right {
  readonly role: TokenRole
  /** Null: every district. */
  readonly districtId: string | null
  /** Null: without end. */
  readonly expiresAt: Date | null
}

/** Roles that each role may hand on: only some that may do less. */
const BELOW: Readonly<Record<TokenRole, readonly TokenRole[]>> = {
  officer: ['manager', 'vaccinator', 'machine'],
  manager: ['vaccinator'],
  vaccinator: [],
  operator: [],
  machine: [],
}

/** Whether a role may hand on another, or end it. */
export function isBelow(role: TokenRole, giver: TokenRole): boolean {
  return BELOW[giver].includes(role)
}

/** Whether one who has a right may give another: a lower role, in no more places, and for no longer. */
export function mayGive(giver: Right, given: Right): boolean {
  const isPlace = giver.districtId === null || giver.districtId === given.districtId
  const isTime = giver.expiresAt === null || (given.expiresAt !== null && given.expiresAt <= giver.expiresAt)
  return isBelow(given.role, giver.role) && isPlace && isTime
}
