import { availabilityOf, firstMinuteUp } from '../core/operation/availability.ts'
import type { Availability } from '../core/operation/availability.ts'
import { listHoursUp } from '../store/presence.ts'
import type { Deps } from './deps.ts'

/** The parts of the work; the service is there while all of them are. */
const ROLES = ['api', 'planner', 'sender', 'receiver'] as const

export interface AvailabilityReport {
  readonly from: Date
  readonly to: Date
  /** Minutes in which every role worked. */
  readonly service: Availability
  readonly byRole: ReadonlyMap<string, Availability>
}

const MINUTE_MS = 60_000
const DAY_MS = 24 * 60 * MINUTE_MS

/**
 * In how many minutes of the last days the service did its work, by the heartbeats its processes left in the
 * database; counted from the first heartbeat where that is later, up to the last whole minute.
 */
export async function reportAvailability(
  { database, clock }: Deps,
  days: number,
): Promise<AvailabilityReport> {
  const nowMs = clock.now().getTime()
  const toMs = nowMs - (nowMs % MINUTE_MS)
  const hours = await listHoursUp(database.reading, new Date(toMs - days * DAY_MS))
  const fromMs = Math.max(toMs - days * DAY_MS, Math.min(toMs, firstMinuteUp(hours) ?? toMs))
  const of = (...roles: readonly string[]) => availabilityOf(hours, roles, fromMs, toMs)
  return {
    from: new Date(fromMs),
    to: new Date(toMs),
    service: of(...ROLES),
    byRole: new Map(ROLES.map((role) => [role, of(role)])),
  }
}
