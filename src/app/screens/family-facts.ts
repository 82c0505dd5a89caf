import type { FamilyVisit, FamilyVisits, VisitMove } from '../../core/menus/facts.ts'
import type { StepOf } from '../../core/menus/step.ts'
import type { Dose } from '../../core/model.ts'
import type { AftercareCause } from '../../core/texts/aftercare.ts'
import { labelChild } from '../../core/texts/child-label.ts'
import { tryOut } from '../../store/attempt.ts'
import { findChildrenByNumber } from '../../store/children.ts'
import { livingDosesOf } from '../../store/doses.ts'
import { isSameVisit, moveLater, plannedChildren } from '../answering/acts/family.ts'
import type { PlannedChild } from '../answering/acts/family.ts'
import type { Family } from '../answering/sender.ts'
import { inWords } from '../answering/talk.ts'
import type { Conversation } from '../answering/talk.ts'
import { causesOf } from '../compose-bundle.ts'
import { newestOf, versionsOf } from '../schedule-versions.ts'

/** What the steps of parents must know. */

/** The visits of a family's children, soonest first; those on one day at one place are one. */
export async function visitsOf(conversation: Conversation<Family>): Promise<FamilyVisits> {
  const visits: PlannedChild[][] = []
  for (const each of await plannedChildren(conversation)) {
    const together = visits.find(([first]) => first !== undefined && isSameVisit(first, each))
    if (together === undefined) visits.push([each])
    else together.push(each)
  }
  return {
    visits: visits.flatMap((together) => visitOf(conversation, together)),
    isStopped: conversation.sender.line.stoppedAt !== null,
  }
}

function visitOf(conversation: Conversation<Family>, together: readonly PlannedChild[]): FamilyVisit[] {
  const [first] = together
  if (first === undefined) return []
  const { childNaming } = conversation.sender.district
  return [
    {
      childId: first.child.id,
      child: together.map(({ child }) => labelChild(child.name, childNaming)).join(', '),
      count: together.length,
      day: dayOf(conversation, first),
      place: first.place,
    },
  ]
}

function dayOf(conversation: Conversation<Family>, { appointment, hours }: PlannedChild): string {
  return inWords(conversation, appointment.sessionOn, hours)
}

/** Moving is tried out, so that the day is known before anything is asked. */
export async function visitMove(
  conversation: Conversation<Family>,
  { childId }: StepOf<'move'>,
): Promise<VisitMove | null> {
  const { visits } = await visitsOf(conversation)
  const tried = await tryOut(conversation.tx, () => moveLater(conversation, childId))
  const visit = visits.find((each) => each.childId === childId)
  if (visit === undefined || tried.kind === 'refused' || tried.value === undefined) return null
  const { to } = tried.value
  return { visit, next: to === null ? null : dayOf(conversation, to) }
}

/** How the vaccines were given that the family's children had last. */
export async function lastCauses({
  tx,
  deps,
  sender,
}: Conversation<Family>): Promise<ReadonlySet<AftercareCause>> {
  const children = await findChildrenByNumber(tx, sender.line.number)
  const doses = await livingDosesOf(
    tx,
    children.map((child) => child.id),
  )
  const { vaccines } = newestOf(await versionsOf(tx, deps.shelf, sender.district.scheduleCode))
  return causesOf(vaccines, lastVisit([...doses.values()].flat()))
}

function lastVisit(doses: readonly Dose[]): readonly string[] {
  const lastOn = Math.max(...doses.map((dose) => dose.givenOn))
  return doses.filter((dose) => dose.givenOn === lastOn).map((dose) => dose.vaccine)
}
