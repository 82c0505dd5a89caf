import { brokenRule } from '../../core/cold-chain/cold-chain-rules.ts'
import { adviseOn } from '../../core/cold-chain/excursions.ts'
import type { ExcursionAdvice } from '../../core/cold-chain/excursions.ts'
import { dayAt } from '../../core/days/zoned-time.ts'
import type { District } from '../../core/model.ts'
import { changeAlert, findOpenAlert } from '../../store/alerts.ts'
import { insertReadings } from '../../store/cold-chain.ts'
import type { Transaction } from '../../store/database.ts'
import type { Deps } from '../deps.ts'
import { raiseAlert } from '../reactions/alerts.ts'
import { vialPolicyOn } from '../vials/vial-shelf.ts'
import { vialsInUse } from '../vials/view-vial.ts'

export interface TemperatureRead {
  readonly district: District
  readonly postId: string
  readonly fridge: string
  readonly celsius: number
  readonly at: Date
  readonly by: string
  readonly via: 'api' | 'sms' | 'ussd'
  readonly textInId: string | null
}

/** What a temperature means for the vials that are open at the post. */
export interface TemperatureNoted {
  readonly id: string
  readonly side: 'cold' | 'warm' | null
  /** Numbers and vaccines of the vials, by what to do with them. */
  readonly vials: ReadonlyMap<ExcursionAdvice['sentence'], readonly string[]>
}

/** Stores a temperature; one outside the range reaches the district until someone has taken it on. */
export async function noteTemperature(
  tx: Transaction,
  deps: Deps,
  read: TemperatureRead,
): Promise<TemperatureNoted> {
  const { district, postId, fridge, celsius, at, by, via, textInId } = read
  const id = deps.newId()
  await insertReadings(tx, [
    {
      id,
      districtId: district.id,
      postId,
      fridge,
      at,
      celsius,
      by: 'hand',
      notedBy: by,
      notedVia: via,
      textInId,
    },
  ])
  const subject = `${postId} ${fridge}`
  const rule = brokenRule(celsius, deps.shelf.coldChain)
  if (rule === undefined) {
    await endAlert(tx, deps, district, subject)
    return { id, side: null, vials: new Map() }
  }
  await raiseAlert(tx, deps, {
    districtId: district.id,
    kind: 'cold-chain',
    subject,
    postId,
    childId: null,
    reactionId: null,
    words: String(celsius),
  })
  return { id, side: rule.aboveC === undefined ? 'cold' : 'warm', vials: await advised(tx, deps, read) }
}

async function advised(tx: Transaction, deps: Deps, { district, postId, celsius, at }: TemperatureRead) {
  const policy = vialPolicyOn(deps.shelf, district, dayAt(at, district.timeZone))
  const vials = new Map<ExcursionAdvice['sentence'], string[]>()
  for (const { vial, open } of await vialsInUse(tx, deps, { districtId: district.id, postId })) {
    const advice = adviseOn(celsius, open.product, policy, deps.shelf.coldChain)
    if (advice === undefined) continue
    const named = vials.get(advice.sentence) ?? []
    vials.set(advice.sentence, [...named, `${vial.number} ${vial.vaccine}`])
  }
  return vials
}

/** A refrigerator that is in range again needs nobody any more. */
async function endAlert(tx: Transaction, deps: Deps, district: District, subject: string): Promise<void> {
  const alert = await findOpenAlert(tx, { districtId: district.id, kind: 'cold-chain', subject })
  if (alert !== undefined) await changeAlert(tx, alert.id, { closedAt: deps.clock.now(), nextStepAt: null })
}
