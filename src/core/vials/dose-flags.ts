import { endOfDay, startOfDay } from '../days/day-bounds.ts'
import type { Day } from '../days/day.ts'
import { instantOf } from '../days/zoned-time.ts'
import { unitsLeft } from './open-vial.ts'
import type { OpenVial } from './open-vial.ts'
import { useFor } from './product.ts'

/** Between which instants a dose was given. */
export interface GivenBetween {
  readonly earliest: Date
  readonly latest: Date
}

/** Why a manager should look at a dose and the vial it is said to come from. The dose is stored as it is. */
export type DoseFlag = 'other-vaccine' | 'before-opening' | 'past-time' | 'discarded' | 'used-up'

const MINUTE_MS = 60_000

/** Within the minute in which a dose was given, where its hour was told, else within its day. */
export function givenBetween(day: Day, minute: number | null, zone: string): GivenBetween {
  if (minute === null) return { earliest: startOfDay(day, zone), latest: endOfDay(day, zone) }
  const earliest = instantOf({ day, minute }, zone)
  return { earliest, latest: new Date(earliest.getTime() + MINUTE_MS - 1) }
}

/**
 * Checks a dose against the vial it names, by the time it was given, not the time it was reported. Only what is
 * certain is flagged: where the hour is not known, the dose has the benefit of the whole day. `vial.drawnUnits`
 * is what was drawn before this dose.
 */
export function doseFlags(vaccine: string, given: GivenBetween, vial: OpenVial): readonly DoseFlag[] {
  const use = useFor(vial.product, vaccine)
  const flags: DoseFlag[] = []
  if (use === undefined) flags.push('other-vaccine')
  if (given.latest < vial.openedAt) flags.push('before-opening')
  if (given.earliest > vial.discardBy.at) flags.push('past-time')
  if (vial.discardedAt !== null && given.earliest > vial.discardedAt) flags.push('discarded')
  if (use !== undefined && unitsLeft(vial) < use.unitsPerDose) flags.push('used-up')
  return flags
}
