import { formatCardNumber } from '../core/card-number.ts'
import type { Child } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import { findChildByCard, getChild, lockChild } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import { getDose, toldOfDose } from '../store/doses.ts'
import { findVial } from '../store/vials.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'
import { provenCard } from './proven-card.ts'
import { recordDoses } from './record-doses.ts'
import type { DoseReport } from './record-doses.ts'
import type { Draw } from './vials/draw-doses.ts'
import { withdrawDose } from './withdraw-dose.ts'

export interface DoseMove {
  readonly doseId: string
  /** Of the child that was given it, as typed. */
  readonly card: string
  readonly by: string
}

/**
 * Moves a dose that was noted for the wrong child to the right one, as it was told, with its day, hour, post and vial: on the first
 * record it stays readable as withdrawn, with where it went; both children are planned again. Moved back the same way.
 * @throws {Refusal} dose-not-found, dose-already-voided, child-not-found, card-length, card-check-digit, dose-before-birth, same-child
 */
export async function moveDose(tx: Transaction, deps: Deps, { doseId, card, by }: DoseMove): Promise<Child> {
  const found = await getDose(tx, doseId)
  const wrong = await getChild(tx, found.childId)
  const right = await childOfCard(tx, wrong.districtId, card)
  if (right.id === wrong.id)
    throw new Refusal(
      'same-child',
      'This card is of the very child the dose stands with; type the other card.',
    )
  // In one order, so that two moves towards each other wait and do not lock each other out.
  for (const id of [wrong.id, right.id].sort()) await lockChild(tx, id)
  const dose = await getDose(tx, doseId)
  const told = await toldOfDose(tx, doseId)
  const vial = dose.vialId === null ? undefined : await findVial(tx, dose.vialId)
  const draw = {
    vialId: dose.vialId,
    vialNumber: vial?.number ?? null,
    isAssumed: told.isVialAssumed,
    // The only values that are ever stored.
    flags: dose.vialFlags as Draw['flags'],
  }
  const reason = `given to another child: moved to card ${formatCardNumber(right.cardNumber)}`
  await withdrawDose(tx, deps, { doseId, by, reason })
  const { vaccine, typedNumber, givenOn, givenMinute, delivery, isElsewhere, recordedBy, recordedVia } = dose
  const { postId, textInId, sentAt } = told
  await recordDoses(tx, deps, {
    postId,
    textInId,
    sentAt,
    childId: right.id,
    vaccines: [{ vaccine, typedNumber }],
    givenOn,
    givenMinute,
    delivery,
    isElsewhere,
    by: recordedBy,
    // The only values that are ever stored.
    via: recordedVia as DoseReport['via'],
    vial: null,
    // The doubts of a vial go along: drawn anew, they might be lost.
    draws: new Map([[vaccine, draw]]),
  })
  await noteChange(tx, deps, {
    districtId: wrong.districtId,
    actor: by,
    act: 'move-dose',
    subject: { kind: 'dose', id: doseId },
    before: { childId: wrong.id },
    after: { childId: right.id },
  })
  return right
}

async function childOfCard(tx: Transaction, districtId: string, card: string): Promise<Child> {
  const number = provenCard(card)
  const child = await findChildByCard(tx, number)
  if (child?.districtId === districtId) return child
  throw new Refusal('child-not-found', `No child here has card ${formatCardNumber(number)}.`)
}
