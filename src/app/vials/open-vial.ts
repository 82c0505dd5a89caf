import type { Day } from '../../core/days/day.ts'
import { dayAt } from '../../core/days/zoned-time.ts'
import type { District } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import type { VialConditions } from '../../core/vials/conditions.ts'
import { discardBy } from '../../core/vials/discard-by.ts'
import type { Opening } from '../../core/vials/discard-by.ts'
import { mayOpen } from '../../core/vials/open-vial.ts'
import type { StopReason } from '../../core/vials/open-vial.ts'
import { vialWarnings } from '../../core/vials/vial-warnings.ts'
import type { Vial } from '../../core/vials/vial.ts'
import type { Transaction } from '../../store/database.ts'
import { insertVial, putWarnings } from '../../store/vials.ts'
import type { Deps } from '../deps.ts'
import { refuseUnknownVaccines } from '../district-words.ts'
import { sessionEndOf } from './session-end.ts'
import { productFor, productOf, vialPolicyOn } from './vial-shelf.ts'

/** A vial that was just opened, as reported. */
export interface VialOpening {
  readonly district: District
  readonly postId: string | null
  readonly vaccine: string
  /** Code of the presentation; `null`: the one the district has. */
  readonly product: string | null
  readonly lot: string
  readonly maker: string | null
  readonly expiryOn: Day
  readonly openedAt: Date
  readonly conditions: VialConditions | null
  readonly by: string
  readonly via: 'api' | 'sms' | 'ussd'
  readonly textInId: string | null
}

/**
 * Registers an opened vial: until when it may be used, and when its post is told.
 * @throws {Refusal} vaccine-unknown, vial-unfit (facts: reason), opened-in-future
 */
export async function openVial(tx: Transaction, deps: Deps, report: VialOpening): Promise<Vial> {
  const { district, postId, vaccine, lot, maker, openedAt, expiryOn, conditions } = report
  await refuseUnknownVaccines(tx, deps.shelf, district, [vaccine])
  if (openedAt > deps.clock.now())
    throw new Refusal('opened-in-future', 'A vial cannot have been opened later than now; check the hour.')
  const zone = district.timeZone
  const product =
    report.product === null
      ? productFor(deps.shelf, district, vaccine)
      : productOf(deps.shelf, { product: report.product, vaccine })
  const policy = vialPolicyOn(deps.shelf, district, dayAt(openedAt, zone))
  const sessionEndsAt = await sessionEndOf(tx, deps, { district, postId, at: openedAt })
  const opening: Opening = { product, policy, openedAt, expiryOn, zone, sessionEndsAt, conditions }
  const answer = mayOpen(opening)
  if (answer.kind === 'stop') throw unfit(answer.reason)
  const vial = await insertVial(tx, {
    id: deps.newId(),
    districtId: district.id,
    postId,
    vaccine,
    product: product.code,
    // People write a lot in either case; it is looked up in one.
    lot: lot.toLocaleUpperCase('en'),
    maker,
    expiryOn,
    openedAt,
    openedBy: report.by,
    openedVia: report.via,
    textInId: report.textInId,
    conditions,
    policy: policy.code,
    sessionEndsAt,
    discardBy: discardBy(opening),
  })
  await putWarnings(tx, vial.id, vialWarnings(vial, policy, zone))
  return vial
}

/** The clear stop: why a vial is not to be used. */
function unfit(reason: StopReason): Refusal {
  return new Refusal('vial-unfit', `Do not use this vial (${reason}); follow your national policy.`, {
    facts: { reason },
  })
}
