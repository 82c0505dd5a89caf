import { addDays } from '../../../core/days/day.ts'
import type { Day } from '../../../core/days/day.ts'
import type { Appointment, Child } from '../../../core/model.ts'
import type { SingleAct } from '../../../core/reading/act.ts'
import { labelChild } from '../../../core/texts/child-label.ts'
import { say } from '../../../core/texts/phrases.ts'
import { plannedAppointments, wishLater } from '../../../store/appointments.ts'
import { findChildrenByNumber } from '../../../store/children.ts'
import { getVillage } from '../../../store/districts.ts'
import { changeLine, findLinesByNumber } from '../../../store/people.ts'
import { withdrawReminders } from '../../../store/reminders.ts'
import { isFollowed } from '../../child-facts.ts'
import { remindAgain } from '../../remind-again.ts'
import { refreshPlan } from '../../refresh-plan.ts'
import { bookFor } from '../../shelf.ts'
import type { Family } from '../sender.ts'
import { inWords } from '../talk.ts'
import type { Answer, Conversation, Talk } from '../talk.ts'

/** A child with the visit that is planned for it. */
export interface PlannedChild {
  readonly child: Child
  readonly appointment: Appointment
  readonly place: string
  readonly hours: string | null
}

/** The followed children of a number that have a visit planned, soonest first. */
export async function plannedChildren({ tx, sender }: Conversation<Family>): Promise<PlannedChild[]> {
  const children = (await findChildrenByNumber(tx, sender.line.number)).filter(isFollowed)
  const visits = await plannedAppointments(
    tx,
    children.map((child) => child.id),
  )
  const planned: PlannedChild[] = []
  for (const child of children) {
    const appointment = visits.get(child.id)
    if (appointment === undefined) continue
    const village = await getVillage(tx, appointment.villageId)
    planned.push({ child, appointment, place: village.sessionPlace, hours: village.sessionHours })
  }
  return planned.sort((a, b) => a.appointment.sessionOn - b.appointment.sessionOn)
}

/** WHEN: the next date of each child of the number. */
export async function nextDateByText(talk: Talk<Family>): Promise<Answer> {
  const { book, sender } = talk
  const planned = await plannedChildren(talk)
  const [first] = planned
  if (first === undefined) return { body: say(book, 'next-date-none', { post: sender.district.name }) }
  if (planned.every((each) => isSameVisit(each, first))) {
    return { body: say(book, 'next-date', { ...visitFacts(talk, first), count: planned.length }) }
  }
  const lines = planned.map((each) => say(book, 'next-date-line', visitFacts(talk, each)))
  return { body: [say(book, 'next-date-several'), ...lines].join('\n') }
}

function visitFacts(talk: Talk, { child, appointment, place, hours }: PlannedChild) {
  return {
    child: labelChild(child.name, talk.sender.district.childNaming),
    day: inWords(talk, appointment.sessionOn, hours),
    place,
  }
}

/** Children who come on one day to one place. */
export function isSameVisit(one: PlannedChild, other: PlannedChild): boolean {
  return one.appointment.sessionOn === other.appointment.sessionOn && one.place === other.place
}

/** LATER: the visit of a child, or the soonest, moves; the reply says to when, or why not. */
export async function moveLaterByText(talk: Talk<Family>, childId: string | null = null): Promise<Answer> {
  const { book, sender } = talk
  const move = await moveLater(talk, childId)
  if (move === undefined) return { body: say(book, 'next-date-none', { post: sender.district.name }) }
  const { from, to, count } = move
  const facts = { ...visitFacts(talk, to ?? from), count }
  return { body: say(book, to === null ? 'move-too-late' : 'moved', facts) }
}

/** A visit that was to move. */
export interface VisitMoved {
  /** As it was, of a child that could not come later where there is one. */
  readonly from: PlannedChild
  /** Null where a dose would then be too late, and the visit stays. */
  readonly to: PlannedChild | null
  /** How many children that is about. */
  readonly count: number
}

/**
 * Moves the visit of a child, or the soonest one, to the session after it. Children who come together move together,
 * or where one of them cannot wait, not at all: a family makes one trip.
 */
export async function moveLater(
  talk: Conversation<Family>,
  childId: string | null,
): Promise<VisitMoved | undefined> {
  const planned = await plannedChildren(talk)
  const from = planned.find((each) => childId === null || each.child.id === childId)
  if (from === undefined) return undefined
  const together = planned.filter((each) => isSameVisit(each, from))
  const { sessionOn } = from.appointment
  await wishNotBefore(talk, together, addDays(sessionOn, 1))

  const now = await plannedChildren(talk)
  const moved = now.filter(
    ({ child, appointment }) => isAmong(together, child) && appointment.sessionOn > sessionOn,
  )
  const [stuck, ...more] = together.filter(({ child }) => !isAmong(moved, child))
  if (stuck !== undefined) {
    await wishNotBefore(talk, moved, sessionOn)
    return { from: stuck, to: null, count: 1 + more.length }
  }
  return { from, to: moved.find(({ child }) => child.id === from.child.id) ?? null, count: together.length }
}

async function wishNotBefore(
  { tx, deps }: Conversation<Family>,
  visits: readonly PlannedChild[],
  day: Day,
): Promise<void> {
  for (const { child, appointment } of visits) {
    await wishLater(tx, appointment.id, day)
    await refreshPlan(tx, deps, child.id)
  }
}

function isAmong(visits: readonly PlannedChild[], { id }: Child): boolean {
  return visits.some(({ child }) => child.id === id)
}

/** STOP: no reminders to this number any more, from no district; questions are still answered. */
export async function stopByText({ tx, deps, sender, book, via }: Talk<Family>): Promise<Answer> {
  const at = deps.clock.now()
  const consent = { consent: 'withdrawn', consentSource: `${via}-stop`, consentAt: at } as const
  for (const { id, stoppedAt } of await findLinesByNumber(tx, sender.line.number)) {
    await changeLine(tx, id, { ...consent, stoppedAt: stoppedAt ?? at })
    await withdrawReminders(tx, { lineId: id }, { reason: 'stopped', at })
  }
  return { body: say(book, 'stopped') }
}

/** START: reminders come again, from the visits that are now planned. */
export async function startByText({ tx, deps, sender, book, via }: Talk<Family>): Promise<Answer> {
  const at = deps.clock.now()
  const consent = { consent: 'given', consentSource: `${via}-start`, consentAt: at } as const
  for (const { id } of await findLinesByNumber(tx, sender.line.number)) {
    await changeLine(tx, id, { ...consent, stoppedAt: null })
    await remindAgain(tx, deps, id)
  }
  return { body: say(book, 'started') }
}

/** A language's name: texts come in it from now on, this reply included. */
export async function setLanguageByText(
  { tx, deps, sender }: Talk<Family>,
  act: Extract<SingleAct, { act: 'set-language' }>,
): Promise<Answer> {
  for (const { id } of await findLinesByNumber(tx, sender.line.number)) {
    await changeLine(tx, id, { language: act.language })
  }
  return { body: say(bookFor(deps.shelf, sender.district, act.language), 'language-set') }
}
