import { addDays } from '../../../core/days/day.ts'
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
import type { Answer, Talk } from '../talk.ts'

interface PlannedChild {
  readonly child: Child
  readonly appointment: Appointment
  readonly place: string
  readonly hours: string | null
}

/** The followed children of a number that have a visit planned, soonest first. */
async function plannedChildren({ tx, sender }: Talk<Family>): Promise<PlannedChild[]> {
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

function isSameVisit(one: PlannedChild, other: PlannedChild): boolean {
  return one.appointment.sessionOn === other.appointment.sessionOn && one.place === other.place
}

/** LATER: the soonest visit of the line moves to the session after it, unless a dose would then be too late. */
export async function moveLaterByText(talk: Talk<Family>): Promise<Answer> {
  const { tx, deps, book, sender } = talk
  const planned = await plannedChildren(talk)
  const [first] = planned
  if (first === undefined) return { body: say(book, 'next-date-none', { post: sender.district.name }) }
  const together = planned.filter((each) => isSameVisit(each, first))
  for (const { child, appointment } of together) {
    await wishLater(tx, appointment.id, addDays(appointment.sessionOn, 1))
    await refreshPlan(tx, deps, child.id)
  }
  const [moved] = (await plannedChildren(talk)).filter((each) => each.child.id === first.child.id)
  const facts = { ...visitFacts(talk, moved ?? first), count: together.length }
  const hasMoved = moved !== undefined && moved.appointment.sessionOn > first.appointment.sessionOn
  return { body: say(book, hasMoved ? 'moved' : 'move-too-late', facts) }
}

/** STOP: no reminders to this number any more, from no district; questions are still answered. */
export async function stopByText({ tx, deps, sender, book }: Talk<Family>): Promise<Answer> {
  const at = deps.clock.now()
  const consent = { consent: 'withdrawn', consentSource: 'sms-stop', consentAt: at } as const
  for (const { id, stoppedAt } of await findLinesByNumber(tx, sender.line.number)) {
    await changeLine(tx, id, { ...consent, stoppedAt: stoppedAt ?? at })
    await withdrawReminders(tx, { lineId: id }, { reason: 'stopped', at })
  }
  return { body: say(book, 'stopped') }
}

/** START: reminders come again, from the visits that are now planned. */
export async function startByText({ tx, deps, sender, book }: Talk<Family>): Promise<Answer> {
  const at = deps.clock.now()
  const consent = { consent: 'given', consentSource: 'sms-start', consentAt: at } as const
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
