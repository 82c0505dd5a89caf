import { numberIn } from '../../core/exchange/bundle-in.ts'
import { idIn } from '../../core/exchange/read-parts.ts'
import type { ResourceReference } from '../../core/exchange/read-parts.ts'
import type { ChildNumber } from '../../core/exchange/patient-out.ts'
import { SYSTEM } from '../../core/exchange/systems.ts'
import { Refusal } from '../../core/refusals.ts'
import { findChildIdsByNumbers } from '../../store/child-numbers.ts'
import { findChildByCard, getChildren } from '../../store/children.ts'
import type { Transaction } from '../../store/database.ts'
import type { ChildMeant } from './take-dose.ts'

/** What stands for an issuer where a child is named by our own identifier. */
const OWN_CHILD = 'urn:duebell:child'

export interface Naming {
  readonly districtId: string
  /** Children of the same Bundle, by the names it gives them. */
  readonly inBundle: ReadonlyMap<string, string>
}

/**
 * The child a dose refers to: another entry of the Bundle, one of ours, or one by a number, which may be known only
 * later.
 * @throws {Refusal} resource-invalid, number-taken
 */
export async function childMeant(
  tx: Transaction,
  referred: ResourceReference,
  { districtId, inBundle }: Naming,
): Promise<ChildMeant> {
  const { reference = '' } = referred
  const id = inBundle.get(reference) ?? idIn(reference, 'Patient')
  const number = id === null ? numberMeant(referred) : { issuer: OWN_CHILD, number: id }
  const childId = id ?? (await childOfNumber(tx, number))
  const [child] = childId === null ? [] : await getChildren(tx, [childId])
  if (child === undefined && id !== null) {
    throw new Refusal('resource-invalid', `patient: there is no ${reference} here.`)
  }
  if (child !== undefined && child.districtId !== districtId) {
    throw new Refusal('number-taken', 'The child of this dose is one of another district.')
  }
  return { ...number, childId: child?.id ?? null }
}

/** @throws {Refusal} resource-invalid */
function numberMeant({ reference = '', identifier }: ResourceReference): ChildNumber {
  const { system: issuer = '', value: number = '' } = identifier ?? {}
  const meant = numberIn(reference) ?? { issuer, number }
  if (meant.issuer !== '' && meant.number !== '') return meant
  throw new Refusal(
    'resource-invalid',
    `patient: ${reference} is not in the Bundle, not one of ours, and not a number with its issuer.`,
  )
}

async function childOfNumber(tx: Transaction, number: ChildNumber): Promise<string | null> {
  if (number.issuer === SYSTEM.card) return (await findChildByCard(tx, number.number))?.id ?? null
  const [id] = await findChildIdsByNumbers(tx, [number])
  return id ?? null
}
