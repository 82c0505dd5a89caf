import type { Child, Dose } from '../core/model.ts'
import type { ChildFacts } from '../core/schedule/forecast-types.ts'

/** What the schedule needs to know of a child on the register; withdrawn doses are left out by the caller. */
export function factsOf(child: Child, living: readonly Dose[]): ChildFacts {
  return {
    birthOn: child.birthOn,
    ...(child.sex === null ? {} : { sex: child.sex }),
    ...(child.birthWeightGrams === null ? {} : { birthWeightGrams: child.birthWeightGrams }),
    given: living.map((dose) => ({ vaccine: dose.vaccine, on: dose.givenOn })),
  }
}

/** Whether visits are planned for a child and texts sent about it. */
export function isFollowed(child: Pick<Child, 'status'>): boolean {
  return child.status === 'active'
}
