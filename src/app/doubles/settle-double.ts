import { comparedFacts } from '../../core/children/compare-children.ts'
import { Refusal } from '../../core/refusals.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { findDouble, settleDouble } from '../../store/doubles.ts'
import type { Double } from '../../store/doubles.ts'
import { identitiesOf } from '../../store/find-children.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { digest } from '../tokens.ts'
import { withdrawDose } from '../withdraw-dose.ts'
import { mergeChildren } from './merge-children.ts'
import type { ChosenFact, Merged } from './merge-children.ts'

export type { Double } from '../../store/doubles.ts'

export interface Verdict {
  readonly itemId: string
  readonly by: string
  readonly comment: string | null
}

/** A pair by its identifier. @throws {Refusal} double-not-found */
export async function getDouble(db: Db, itemId: string): Promise<Double> {
  const item = await findDouble(db, itemId)
  if (item !== undefined) return item
  throw new Refusal('double-not-found', 'No such pair waits here; look at the list again.')
}

/** They are two: the pair does not come up again until something that was compared changes. */
export async function sayTwo(tx: Transaction, deps: Deps, { itemId, by, comment }: Verdict): Promise<void> {
  const item = await getWaiting(tx, itemId)
  const identities = await identitiesOf(tx, [item.childId, item.otherChildId ?? item.childId])
  const [one, other] = [identities.get(item.childId), identities.get(item.otherChildId ?? '')]
  const facts =
    one === undefined || other === undefined ? {} : { factsDigest: digest(comparedFacts(one, other)) }
  const at = deps.clock.now()
  await settleDouble(tx, itemId, { outcome: 'not-double', by, comment, at, ...facts })
  await noteVerdict(tx, deps, item, { by, comment, outcome: 'not-double' })
}

/** They are one child: see `mergeChildren`. */
export async function mergeDouble(
  tx: Transaction,
  deps: Deps,
  verdict: Verdict & {
    readonly staysId: string
    readonly fromLeaving: readonly ChosenFact[]
    readonly dropDoseIds: readonly string[] | null
  },
): Promise<Merged> {
  const { itemId, staysId, ...choices } = verdict
  const { kind, childId, otherChildId } = await getWaiting(tx, itemId)
  const both = [childId, otherChildId]
  const leavesId = both.find((id) => id !== staysId)
  if (kind !== 'double' || !both.includes(staysId) || leavesId == null)
    throw new Refusal('input-invalid', 'Name the one of the two records that stays.')
  return mergeChildren(tx, deps, { staysId, leavesId, ...choices })
}

/** They are one dose: the report that is kept stands, the other is withdrawn. */
export async function keepOneDose(
  tx: Transaction,
  deps: Deps,
  { itemId, by, comment, keepDoseId }: Verdict & { readonly keepDoseId: string },
): Promise<void> {
  const item = await getWaiting(tx, itemId)
  const both = [item.doseId, item.otherDoseId]
  const doseId = both.find((id) => id !== keepDoseId)
  if (item.kind !== 'dose-twice' || !both.includes(keepDoseId) || doseId == null)
    throw new Refusal('input-invalid', 'Name the one of the two reports that stays.')
  await withdrawDose(tx, deps, { doseId, by, reason: 'reported twice' })
  await settleDouble(tx, itemId, { outcome: 'one-dose', by, comment, at: deps.clock.now() })
  await noteVerdict(tx, deps, item, { by, comment, outcome: 'one-dose' })
}

/** @throws {Refusal} double-not-found, double-settled */
async function getWaiting(tx: Transaction, itemId: string): Promise<Double> {
  const item = await getDouble(tx, itemId)
  if (item.closedAt === null) return item
  throw new Refusal('double-settled', `This pair was settled before (${item.outcome ?? ''}).`)
}

function noteVerdict(
  tx: Transaction,
  deps: Deps,
  { districtId, childId, otherChildId, id }: Double,
  { by, comment, outcome }: Omit<Verdict, 'itemId'> & { readonly outcome: string },
): Promise<void> {
  const subject = { kind: 'child', id: childId }
  const after = { itemId: id, otherChildId, outcome, comment }
  return noteChange(tx, deps, { districtId, actor: by, act: 'settle-double', subject, after })
}
