import { endOfDay } from '../days/day-bounds.ts'
import { addDays } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { dayAt } from '../days/zoned-time.ts'
import { conditionFault } from './conditions.ts'
import type { VialConditions } from './conditions.ts'
import type { Product } from './product.ts'
import { openLife } from './vial-policy.ts'
import type { OpenLife, VialPolicy } from './vial-policy.ts'

/** What is known of a vial when it is opened. */
export interface Opening {
  readonly product: Product
  readonly policy: VialPolicy
  readonly openedAt: Date
  /** The last day on which it may be used, opened or not. */
  readonly expiryOn: Day
  /** IANA name; days end by the clocks of the place. */
  readonly zone: string
  /** Planned end of the session; `null` where it is not known. */
  readonly sessionEndsAt: Date | null
  /** `null`: nobody was asked, nothing is known to be wrong. */
  readonly conditions: VialConditions | null
}

/** Which limit comes first. */
export type DiscardLimit = 'expiry' | 'open-days' | 'open-hours' | 'session-end'

export interface DiscardBy {
  /** The last instant at which the vial may be used. */
  readonly at: Date
  readonly because: DiscardLimit
}

const HOUR_MS = 3_600_000

const hoursAfter = (at: Date, hours: number): Date => new Date(at.getTime() + hours * HOUR_MS)

function lifeOf({ product, policy, conditions }: Opening): OpenLife {
  const isFaulty = conditions !== null && conditionFault(product, conditions, 'opening') !== undefined
  // One failed condition takes the days away, not the hours (IPV-MDVP 2014); `mayUse` says stop besides.
  return openLife(isFaulty ? { ...product, approvedOpenDays: null } : product, policy)
}

function limitsOf(opening: Opening): DiscardBy[] {
  const { openedAt, expiryOn, zone, policy, sessionEndsAt } = opening
  const expiry: DiscardBy = { at: endOfDay(expiryOn, zone), because: 'expiry' }
  const life = lifeOf(opening)
  if (life.kind === 'days') {
    const lastDayOn = addDays(dayAt(openedAt, zone), life.days)
    const at = policy.lastDay === 'whole' ? endOfDay(lastDayOn, zone) : hoursAfter(openedAt, life.days * 24)
    return [expiry, { at, because: 'open-days' }]
  }
  const hours: DiscardBy = { at: hoursAfter(openedAt, life.hours), because: 'open-hours' }
  // A session that was to end before the vial was opened went on for longer: its plan says nothing.
  const isSessionAhead = sessionEndsAt !== null && sessionEndsAt > openedAt
  return isSessionAhead ? [expiry, { at: sessionEndsAt, because: 'session-end' }, hours] : [expiry, hours]
}

/**
 * Until when an opened vial may be used: the earliest of its limits, never past expiry. Whatever more becomes
 * known (an end of session, a failed condition) can only bring it forward.
 */
export function discardBy(opening: Opening): DiscardBy {
  return limitsOf(opening).reduce((first, limit) => (limit.at < first.at ? limit : first))
}
