import { mustParseDay } from '../../../core/days/day.ts'
import type { Day } from '../../../core/days/day.ts'
import type { SingleAct } from '../../../core/reading/act.ts'
import type { Dose } from '../../../core/model.ts'
import { formatCardNumber } from '../../../core/card-number.ts'
import { Refusal } from '../../../core/refusals.ts'
import { say } from '../../../core/texts/phrases.ts'
import { getChild } from '../../../store/children.ts'
import type { Transaction } from '../../../store/database.ts'
import { findDose } from '../../../store/doses.ts'
import { findDosesNotGiven } from '../../../store/follow-up.ts'
import { findLastEffect, markUndone } from '../../../store/texts.ts'
import type { Effect } from '../../../store/effects.ts'
import type { TextIn } from '../../../store/texts.ts'
import { changeStatus, correctChild } from '../../change-child.ts'
import { withdrawNotGiven } from '../../note-not-given.ts'
import { takeBackEntry } from '../../take-back-entry.ts'
import { withdrawDose } from '../../withdraw-dose.ts'
import type { Worker } from '../sender.ts'
import type { Answer, Conversation, Talk } from '../talk.ts'

const UNDO_MS = 24 * 3_600_000

/** UNDO: takes back what the sender's last text changed, within a day; what is older needs a manager. */
export async function undoByText(
  talk: Talk<Worker>,
  act: Extract<SingleAct, { act: 'undo' }>,
): Promise<Answer> {
  const { tx, deps, sender, book, text } = talk
  const entry = await lastEntry(talk)
  if (entry === undefined) return { body: say(book, 'undo-nothing') }
  const { last, effect, what } = entry
  if (act.card !== null && !what.includes(formatCardNumber(act.card)))
    return { body: say(book, 'undo-nothing') }
  if (isOlder(text, last)) return { body: say(book, 'undo-too-old', { what }) }

  const by = sender.person.id
  await restoreChildren(talk, effect, by)
  await withdrawNotGiven(tx, deps, effect.notGivenIds)
  for (const doseId of effect.doseIds) await withdrawIfThere(talk, doseId, by)
  for (const childId of effect.childIds) {
    await changeStatus(tx, deps, { childId, status: 'entered-in-error', on: talk.today, reason: 'undo', by })
  }
  for (const entry of effect.entries) await takeBackEntry(tx, deps, entry)
  await markUndone(tx, last.id, deps.clock.now())
  return { body: say(book, 'undone', { what }) }
}

/** Gives children back the names and statuses they had. */
async function restoreChildren({ tx, deps }: Talk, effect: Effect, by: string): Promise<void> {
  for (const { childId, name } of effect.names) await correctChild(tx, deps, { childId, name, by })
  for (const { childId, status, on, reason, awayUntil } of effect.statuses) {
    const [since, until] = [on, awayUntil].map(dayOrNull)
    await changeStatus(tx, deps, { childId, status, on: since ?? null, reason, awayUntil: until ?? null, by })
  }
}

function dayOrNull(iso: string | null): Day | null {
  return iso === null ? null : mustParseDay(iso)
}

/** The newest entry of a worker that stands, and how it is called: "4821 7739 BOPV, PENTA". */
export async function lastEntry({ tx, sender }: Conversation<Worker>) {
  const last = await findLastEffect(tx, sender.person.id)
  if (last?.effect == null) return undefined
  return { last, effect: last.effect, what: await describe(tx, last.effect) }
}

function isOlder(text: TextIn, last: TextIn): boolean {
  return text.receivedAt.getTime() - last.receivedAt.getTime() > UNDO_MS
}

/** A dose that someone withdrew meanwhile stays withdrawn. */
async function withdrawIfThere({ tx, deps }: Talk, doseId: string, by: string): Promise<void> {
  try {
    await withdrawDose(tx, deps, { doseId, by, reason: 'undo' })
  } catch (error) {
    if (!(error instanceof Refusal && error.code === 'dose-already-voided')) throw error
  }
}

async function describe(tx: Transaction, effect: Effect): Promise<string> {
  const doses: Dose[] = []
  for (const id of effect.doseIds) {
    const dose = await findDose(tx, id)
    if (dose !== undefined) doses.push(dose)
  }
  const given = [...doses, ...(await findDosesNotGiven(tx, effect.notGivenIds))]
  const changed = [...effect.names, ...effect.statuses].map(({ childId }) => childId)
  const parts: string[] = []
  for (const childId of new Set([...given.map((one) => one.childId), ...effect.childIds, ...changed])) {
    const child = await getChild(tx, childId)
    const vaccines = given.flatMap(({ vaccine, childId: of }) => (of === childId ? (vaccine ?? []) : []))
    parts.push([formatCardNumber(child.cardNumber), vaccines.join(', ')].join(' ').trim())
  }
  return [...parts, ...effect.entries.map((entry) => entry.what)].join('; ')
}
