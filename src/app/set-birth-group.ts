import { Refusal } from '../core/refusals.ts'
import { changeChild, getChildren } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import type { Child } from '../core/model.ts'
import { lockStanding } from './change-child.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'

export interface BirthGroup {
  /** The children of one birth, the first-born first. */
  readonly childIds: readonly string[]
  readonly by: string
}

/** Children born days apart are not of one birth. */
const MOST_DAYS_APART = 1

/**
 * Notes that children are twins, triplets …, and in which order they were born: they are never taken for doubles.
 * @throws {Refusal} child-not-found, child-merged, input-invalid
 */
export async function setBirthGroup(
  tx: Transaction,
  deps: Deps,
  { childIds, by }: BirthGroup,
): Promise<Child[]> {
  if (new Set(childIds).size !== childIds.length) throw new Refusal('input-invalid', 'Name each child once.')
  const children: Child[] = []
  for (const id of [...childIds].sort()) children.push(await lockStanding(tx, id))
  const births = children.map(({ birthOn }) => birthOn)
  if (Math.max(...births) - Math.min(...births) > MOST_DAYS_APART)
    throw new Refusal(
      'input-invalid',
      'Children of one birth are born on one day or the next; correct the dates first.',
    )
  const group = deps.newId()
  for (const { id } of children) await changeChild(tx, id, { birthGroup: null, birthOrder: null })
  for (const [place, id] of childIds.entries()) {
    await changeChild(tx, id, { birthGroup: group, birthOrder: place + 1 })
    await noteChange(tx, deps, {
      districtId: children.find((child) => child.id === id)?.districtId ?? null,
      actor: by,
      act: 'set-birth-group',
      subject: { kind: 'child', id },
      after: { birthGroup: group, birthOrder: place + 1 },
    })
  }
  const inOrder = new Map((await getChildren(tx, childIds)).map((child) => [child.id, child]))
  return childIds.flatMap((id) => inOrder.get(id) ?? [])
}
