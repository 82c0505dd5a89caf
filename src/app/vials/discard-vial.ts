import { dayAt } from '../../core/days/zoned-time.ts'
import { Refusal } from '../../core/refusals.ts'
import { readDiscardReason } from '../../core/vials/discard-reason.ts'
import type { DiscardReason } from '../../core/vials/discard-reason.ts'
import type { DiscardLimit } from '../../core/vials/discard-by.ts'
import { unitsLeft } from '../../core/vials/open-vial.ts'
import { vialWarnings } from '../../core/vials/vial-warnings.ts'
import type { Vial } from '../../core/vials/vial.ts'
import type { Transaction } from '../../store/database.ts'
import { getDistrict } from '../../store/districts.ts'
import { discardVial, findVial, putWarnings, takeBackDiscard } from '../../store/vials.ts'
import type { Deps } from '../deps.ts'
import { vialNow, vialPolicyOn } from './vial-shelf.ts'
import type { VialNow } from './vial-shelf.ts'

export interface DiscardReport {
  readonly vial: Vial
  /** In the words of whoever threw it away; `null`: nothing was said. */
  readonly words: string | null
  /** A code instead of words. */
  readonly reason: DiscardReason | null
  readonly at: Date
  readonly by: string
}

const REASON_OF_LIMIT: Readonly<Record<DiscardLimit, DiscardReason>> = {
  expiry: 'expired',
  'session-end': 'session-end',
  'open-days': 'time-up',
  'open-hours': 'time-up',
}

/** The reason that follows from the record where none was given. */
function plainReason({ vial, open }: VialNow, at: Date): DiscardReason | undefined {
  if (unitsLeft(open) === 0) return 'used-up'
  return at >= vial.discardBy.at ? REASON_OF_LIMIT[vial.discardBy.because] : undefined
}

/**
 * Notes that a vial was thrown away and why; a reason that is not understood is asked for, not guessed.
 * @throws {Refusal} vial-already-discarded, discard-reason-missing
 */
export async function throwAway(tx: Transaction, deps: Deps, report: DiscardReport): Promise<DiscardReason> {
  const { vial, words, at, by } = report
  if (vial.discardedAt !== null)
    throw new Refusal(
      'vial-already-discarded',
      `Vial ${vial.number} was discarded before; nothing was changed.`,
    )
  const said = words === null ? undefined : readDiscardReason(words, deps.shelf.discardWords)
  const plain = words === null ? plainReason(await vialNow(tx, deps.shelf, vial), at) : undefined
  const reason = report.reason ?? said ?? plain
  if (reason === undefined)
    throw new Refusal(
      'discard-reason-missing',
      'Say why: broken, expired, warm, monitor, frozen, dirty, empty or late.',
    )
  await discardVial(tx, vial.id, { at, by, reason, words })
  return reason
}

/** Takes a discard back: the vial is in use, and its post is warned again. */
export async function takeBackThrowing(tx: Transaction, deps: Deps, vialId: string): Promise<void> {
  await takeBackDiscard(tx, vialId)
  const vial = await findVial(tx, vialId)
  if (vial === undefined) return
  const district = await getDistrict(tx, vial.districtId)
  const policy = vialPolicyOn(deps.shelf, district, dayAt(vial.openedAt, district.timeZone))
  const now = deps.clock.now()
  const ahead = vialWarnings(vial, policy, district.timeZone).filter(({ at }) => at > now)
  await putWarnings(tx, vialId, ahead)
}
