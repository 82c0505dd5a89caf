/** What clinicians decided for single children: written down, in force, ended. Nobody else sets a risk. */
import type { Day } from '../core/days/day.ts'
import { Refusal } from '../core/refusals.ts'
import { planOf, risksAskedBy, vaccinesAskedBy } from '../core/schedule/own-plan.ts'
import type { Decision } from '../core/schedule/own-plan.ts'
import { changeChild } from '../store/children.ts'
import {
  clinicalNotesOf,
  endClinicalNote,
  findClinicalNote,
  insertClinicalNote,
} from '../store/clinical-notes.ts'
import type { ClinicalNote } from '../store/clinical-notes.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { lockStanding } from './change-child.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'
import { refreshPlan } from './refresh-plan.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'

export interface NewDecision {
  readonly childId: string
  readonly decision: Decision
  readonly reason: string
  readonly decidedBy: string
  readonly by: string
}

/**
 * Keeps a clinician's decision; the child's dates, visits and reminders follow it.
 * @throws {Refusal} vaccine-unknown, risk-unknown, put-off-past
 */
export async function noteDecision(tx: Transaction, deps: Deps, given: NewDecision): Promise<ClinicalNote> {
  const { childId, decision, reason, decidedBy, by } = given
  const child = await lockStanding(tx, childId)
  const district = await getDistrict(tx, child.districtId)
  const today = todayIn(deps, district)
  const schedule = newestOf(await versionsOf(tx, deps.shelf, district.scheduleCode))
  if (decision.kind === 'put-off') {
    refuseNotAsked(decision.vaccine, vaccinesAskedBy(schedule))
    refuseOddDay(decision.until, today)
  } else refuseUnknownRisk(decision.risk, risksAskedBy(schedule))
  const note = await insertClinicalNote(tx, {
    id: deps.newId(),
    childId,
    districtId: district.id,
    decision,
    reason,
    decidedBy,
    notedBy: by,
    notedOn: today,
    createdAt: deps.clock.now(),
  })
  await follow(tx, deps, { childId, districtId: district.id, by, act: 'note-decision' })
  return note
}

/** Ends a decision before its time: from now on the schedule alone counts. @throws {Refusal} clinical-note-not-found */
export async function endDecision(
  tx: Transaction,
  deps: Deps,
  { childId, noteId, by }: { readonly childId: string; readonly noteId: string; readonly by: string },
): Promise<void> {
  const child = await lockStanding(tx, childId)
  const note = await findClinicalNote(tx, childId, noteId)
  if (note === undefined)
    throw new Refusal('clinical-note-not-found', 'This child has no such note; look at its notes first.')
  if (note.endedOn !== null) return
  const district = await getDistrict(tx, child.districtId)
  await endClinicalNote(tx, noteId, { on: todayIn(deps, district), by })
  await follow(tx, deps, { childId, districtId: district.id, by, act: 'end-decision' })
}

/** Brings the child's own plan, dates and visits to the notes in force. */
async function follow(
  tx: Transaction,
  deps: Deps,
  {
    childId,
    districtId,
    by,
    act,
  }: { readonly childId: string; readonly districtId: string; readonly by: string; readonly act: string },
): Promise<void> {
  await followNotes(tx, childId)
  await noteChange(tx, deps, { districtId, actor: by, act, subject: { kind: 'child', id: childId } })
  await refreshPlan(tx, deps, childId)
}

/** Brings a child's own plan to its notes in force; its dates and visits are the caller's to plan. */
export async function followNotes(tx: Transaction, childId: string): Promise<void> {
  const inForce = (await clinicalNotesOf(tx, childId)).filter(({ endedOn }) => endedOn === null)
  await changeChild(tx, childId, { ownPlan: planOf(inForce.map(({ decision }) => decision)) })
}

/** A longer wait is looked at again and put off anew. */
const LONGEST_PUT_OFF_DAYS = 730

function refuseOddDay(until: Day, today: Day): void {
  if (until > today && until - today <= LONGEST_PUT_OFF_DAYS) return
  throw new Refusal('put-off-past', 'A vaccine can be put off to a day within the next two years only.')
}

/** Another vaccine than the schedule asks for would be put off, and the child invited all the same. */
function refuseNotAsked(vaccine: string, asked: ReadonlySet<string>): void {
  if (asked.has(vaccine)) return
  throw new Refusal(
    'vaccine-unknown',
    `The schedule asks for ${[...asked].join(', ')}; put one of these off.`,
    {
      facts: { word: vaccine },
    },
  )
}

function refuseUnknownRisk(risk: string, asked: ReadonlySet<string>): void {
  if (asked.has(risk)) return
  const known = asked.size === 0 ? 'it asks for none' : `it asks for ${[...asked].join(', ')}`
  throw new Refusal('risk-unknown', `No rule of the schedule asks for ${risk}; ${known}.`)
}
