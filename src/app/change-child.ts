import type { Day } from '../core/days/day.ts'
import type { Child, ChildStatus, Sex } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import { changeChild, getChild, lockChild } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict, getVillage } from '../store/districts.ts'
import { insertFormerName } from '../store/follow-up.ts'
import { leaveOtherLines } from '../store/people.ts'
import { insertReminders, openRecallsOf, withdrawReminders } from '../store/reminders.ts'
import type { OpenRecall } from '../store/reminders.ts'
import { refuseErased } from './child-facts.ts'
import type { Deps } from './deps.ts'
import { todayIn } from './deps.ts'
import { joinCaregiver, refuseBadBirth } from './enrol-child.ts'
import type { NewCaregiverLine } from './enrol-child.ts'
import { noteChange } from './note-change.ts'
import { reachableLines } from './plan-reminders-for.ts'
import { remindAnew } from './remind-again.ts'
import { refreshPlan } from './refresh-plan.ts'
import type { Plan } from './refresh-plan.ts'

/** Holds a record that stands for itself. @throws {Refusal} child-not-found, child-merged */
export async function lockStanding(tx: Transaction, childId: string): Promise<Child> {
  const child = refuseErased(await lockChild(tx, childId))
  if (child.mergedInto === null) return child
  const { id, cardNumber } = await getChild(tx, child.mergedInto)
  throw new Refusal(
    'child-merged',
    `This record was merged into that of card ${cardNumber}; change that one.`,
    {
      facts: { standsFor: id },
    },
  )
}

/** Moves a child to another village, perhaps of another district; visits and reminders follow. */
export async function moveChild(
  tx: Transaction,
  deps: Deps,
  move: { readonly childId: string; readonly villageId: string; readonly by: string },
): Promise<Plan> {
  const child = await lockStanding(tx, move.childId)
  const village = await getVillage(tx, move.villageId)
  await refuseLeavingPractice(tx, child.districtId, village.districtId)
  await changeChild(tx, child.id, { villageId: village.id, districtId: village.districtId })
  await noteChange(tx, deps, {
    districtId: village.districtId,
    actor: move.by,
    act: 'move',
    subject: { kind: 'child', id: child.id },
    before: { villageId: child.villageId },
    after: { villageId: village.id },
  })
  return refreshPlan(tx, deps, child.id)
}

/** @throws {Refusal} training-stays, between a training district and a real one */
async function refuseLeavingPractice(tx: Transaction, from: string, to: string): Promise<void> {
  if (from === to) return
  const [before, after] = [await getDistrict(tx, from), await getDistrict(tx, to)]
  if (before.isTraining === after.isTraining) return
  throw new Refusal(
    'training-stays',
    'Children of a training district are invented; enrol the real child there.',
  )
}

export interface StatusChange {
  readonly childId: string
  readonly status: ChildStatus
  /** Null: as it was before anything was noted. */
  readonly on: Day | null
  readonly reason: string | null
  /** With `away`: the day of return. */
  readonly awayUntil?: Day | null
  readonly by: string
}

/** Closes a child (died, moved away, refused, lost) or opens it again; a closed child gets no text any more. */
export async function changeStatus(tx: Transaction, deps: Deps, change: StatusChange): Promise<Plan> {
  const { childId, status, on, reason, by } = change
  const awayUntil = status === 'away' ? (change.awayUntil ?? null) : null
  const child = await lockStanding(tx, childId)
  await changeChild(tx, childId, { status, statusOn: on, statusReason: reason, awayUntil })
  await noteChange(tx, deps, {
    districtId: child.districtId,
    actor: by,
    act: 'status',
    subject: { kind: 'child', id: childId },
    before: { status: child.status },
    after: { status },
  })
  return refreshPlan(tx, deps, childId)
}

export interface Correction {
  readonly childId: string
  readonly by: string
  readonly name?: string
  readonly sex?: Sex
  readonly birthOn?: Day
  readonly isBirthEstimated?: boolean
  readonly birthWeightGrams?: number | null
  readonly birthMinute?: number | null
}

/**
 * Corrects what is known of a child; the old values stay in the change log, an old name among the former names: the log
 * is never altered, so it holds nothing that a family may have removed.
 * @throws {Refusal} birth-in-future, birth-too-long-ago; from the tables: dose-before-birth, birth-after-enrolment
 */
export async function correctChild(tx: Transaction, deps: Deps, correction: Correction): Promise<Plan> {
  const { childId, by, ...change } = correction
  const child = await lockStanding(tx, childId)
  if (change.birthOn !== undefined) {
    refuseBadBirth(change.birthOn, todayIn(deps, await getDistrict(tx, child.districtId)))
  }
  await changeChild(tx, childId, change)
  if (change.name !== undefined && change.name !== child.name) {
    await insertFormerName(tx, { id: deps.newId(), childId, name: child.name, until: deps.clock.now() })
  }
  const { sex, birthOn, isBirthEstimated, birthWeightGrams } = child
  const { name, ...others } = change
  await noteChange(tx, deps, {
    districtId: child.districtId,
    actor: by,
    act: 'correct',
    subject: { kind: 'child', id: childId },
    before: { sex, birthOn, isBirthEstimated, birthWeightGrams },
    after: { ...others, ...(name === undefined ? {} : { isRenamed: true }) },
  })
  return refreshPlan(tx, deps, childId)
}

export interface PhoneSwap {
  readonly childId: string
  /** Null: the family has no phone any more. */
  readonly caregiver: NewCaregiverLine | null
  readonly by: string
}

/** Gives the family another phone: reminders move to it, the old one gets nothing more, history stays. */
export async function swapPhone(tx: Transaction, deps: Deps, swap: PhoneSwap): Promise<Plan> {
  const child = await lockStanding(tx, swap.childId)
  const at = deps.clock.now()
  const recalls = await openRecallsOf(tx, child.id)
  await leaveOtherLines(tx, child.id, null, at)
  if (swap.caregiver !== null) await joinCaregiver(tx, deps, child, swap.caregiver)
  await withdrawReminders(tx, { childId: child.id }, { reason: 'line-changed', at })
  await noteChange(tx, deps, {
    districtId: child.districtId,
    actor: swap.by,
    act: 'swap-phone',
    subject: { kind: 'child', id: child.id },
  })
  const plan = await refreshPlan(tx, deps, child.id)
  await remindAnew(tx, deps, plan)
  await passOn(tx, deps, child.id, recalls)
  return plan
}

/** A visit was missed whichever phone the family has: its recalls go to the lines of now. */
export async function passOn(
  tx: Transaction,
  deps: Deps,
  childId: string,
  recalls: readonly OpenRecall[],
): Promise<void> {
  const lines = await reachableLines(tx, childId)
  const createdAt = deps.clock.now()
  await insertReminders(
    tx,
    lines.flatMap(({ id: lineId }) =>
      recalls.map((recall) => ({ ...recall, id: deps.newId(), lineId, createdAt })),
    ),
  )
}
