import type { DosePreview, DueVaccines, ExpectedChildren } from '../../core/menus/facts.ts'
import type { StepOf } from '../../core/menus/step.ts'
import type { Child } from '../../core/model.ts'
import { tryOut } from '../../store/attempt.ts'
import { findChildByCard } from '../../store/children.ts'
import { dosesOfChild } from '../../store/doses.ts'
import { expectedOn, postNameOf, withFlags } from '../answering/acts/lists.ts'
import { sayRefusal } from '../answering/say-refusal.ts'
import type { Worker } from '../answering/sender.ts'
import { nameOf } from '../answering/talk.ts'
import type { Conversation } from '../answering/talk.ts'
import { isFollowed } from '../child-facts.ts'
import { recordDoses, vaccinesDue } from '../record-doses.ts'
import type { RecordedDose } from '../record-doses.ts'
import { newestOf, versionsOf } from '../schedule-versions.ts'

/** What the steps that record doses must know. */

/** The child with a card, in the worker's own district; a card of another is not even said to exist. */
async function childWith({ tx, sender }: Conversation<Worker>, card: string): Promise<Child | undefined> {
  const child = await findChildByCard(tx, card)
  return child?.districtId === sender.district.id ? child : undefined
}

/** What a child may be given today, and what else there is. */
export async function dueVaccines(
  conversation: Conversation<Worker>,
  { card }: StepOf<'vaccines' | 'other-vaccines'>,
): Promise<DueVaccines | null> {
  const { tx, deps, sender, today } = conversation
  const { district } = sender
  const child = await childWith(conversation, card)
  if (child === undefined) return null
  const record = { child, district, doses: await dosesOfChild(tx, child.id) }
  const due = await vaccinesDue(tx, deps, record, today)
  const schedule = newestOf(await versionsOf(tx, deps.shelf, district.scheduleCode))
  return {
    child: nameOf(conversation, child).child,
    isFollowed: isFollowed(child),
    due,
    others: [...schedule.vaccines.keys()].filter((vaccine) => !due.includes(vaccine)),
  }
}

/** How the child with a card is called. */
export async function childName(
  conversation: Conversation<Worker>,
  { card }: StepOf<'signs' | 'check-signs'>,
): Promise<string | null> {
  const child = await childWith(conversation, card)
  return child === undefined ? null : nameOf(conversation, child).child
}

/** Storing is tried out, so that what is shown is what would come of it. */
export async function dosePreview(
  conversation: Conversation<Worker>,
  { card, vaccines, on }: StepOf<'check-doses'>,
): Promise<DosePreview | null> {
  const { tx, deps, sender, book } = conversation
  const child = await childWith(conversation, card)
  if (child === undefined) return null
  const tried = await tryOut(tx, () =>
    recordDoses(tx, deps, {
      childId: child.id,
      vaccines: vaccines.map((vaccine) => ({ vaccine, typedNumber: null })),
      givenOn: on,
      by: sender.person.id,
      via: 'ussd',
      postId: sender.person.postId,
      textInId: null,
      sentAt: null,
      delivery: 'routine',
      isElsewhere: false,
      vial: null,
    }),
  )
  const recorded = tried.kind === 'done' ? tried.value.recorded : []
  return {
    child: nameOf(conversation, child).child,
    birthOn: child.birthOn,
    uncounted: recorded.flatMap(uncounted),
    known: recorded.filter((dose) => dose.wasKnown).map((dose) => dose.vaccine),
    refusal: tried.kind === 'refused' ? sayRefusal(book, tried.refusal) : null,
  }
}

function uncounted({ vaccine, counts, wasKnown }: RecordedDose): DosePreview['uncounted'] {
  if (wasKnown || counts.some((verdict) => verdict.valid)) return []
  const reason = counts.find((verdict) => verdict.reason !== null)?.reason ?? 'not-counted'
  return [{ vaccine, reason }]
}

/** Who is expected at the next session of the worker's post. */
export async function expectedChildren(conversation: Conversation<Worker>): Promise<ExpectedChildren> {
  const { on, due } = await expectedOn(conversation, null, null)
  return {
    place: (await postNameOf(conversation)) ?? conversation.sender.district.name,
    on,
    children: (await withFlags(conversation, due)).map((child) => ({
      card: child.cardNumber,
      child: nameOf(conversation, child).child,
      isFlagged: child.isFlagged,
    })),
  }
}
