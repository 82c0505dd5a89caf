import type { Child, Dose } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import type { ChildFacts } from '../core/schedule/forecast-types.ts'

/** The doses a schedule numbers: not those withdrawn, and not those of a mass campaign, which are extra. */
export function routineDoses(doses: readonly Dose[]): readonly Dose[] {
  return doses.filter((dose) => dose.voidedAt === null && dose.delivery === 'routine')
}

/** What the schedule needs to know of a child on the register; `given` follows `routineDoses`, one for one. */
export function factsOf(child: Child, doses: readonly Dose[]): ChildFacts {
  return {
    birthOn: child.birthOn,
    ...(child.sex === null ? {} : { sex: child.sex }),
    ...(child.birthWeightGrams === null ? {} : { birthWeightGrams: child.birthWeightGrams }),
    ...(child.ownPlan.risks.length === 0 ? {} : { flags: child.ownPlan.risks }),
    ...(child.ownPlan.putOff.length === 0 ? {} : { putOff: child.ownPlan.putOff }),
    given: routineDoses(doses).map((dose) => ({ vaccine: dose.vaccine, on: dose.givenOn })),
  }
}

/** Whether visits are planned for a child and texts sent about it. */
export function isFollowed(child: Pick<Child, 'status'>): boolean {
  return child.status === 'active'
}

/** A record that still says who it is of. @throws {Refusal} child-not-found, as if it had never been there */
export function refuseErased(child: Child): Child {
  if (!child.isErased) return child
  throw new Refusal('child-not-found', `There is no child ${child.id}; look it up by card or phone.`)
}
