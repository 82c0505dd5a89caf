import { formatDay } from '../../core/days/day.ts'
import type { Dose } from '../../core/model.ts'
import { attempt } from '../../store/attempt.ts'
import type { Transaction } from '../../store/database.ts'
import { dosesOfChild } from '../../store/doses.ts'
import { noteProblem, statementsOf } from '../../store/stated-doses.ts'
import type { DoseFacts, DoseStatement } from '../../store/stated-doses.ts'
import type { Deps } from '../deps.ts'
import { recordDoses } from '../record-doses.ts'
import { withdrawDose } from '../withdraw-dose.ts'
import { askAPerson } from './ask-a-person.ts'

/** Why a dose was withdrawn that only other registers knew of, when they took it back. */
const AT_SOURCE = 'withdrawn-at-source'

/**
 * Makes one dose on record follow from all that other registers say of it: it is on record while one of them says so.
 * What was recorded or withdrawn here by hand stands; a register that says otherwise is put before a person.
 * So the order in which statements arrive, and how often, does not matter. Answers the dose on record.
 */
export async function settleDose(
  tx: Transaction,
  deps: Deps,
  facts: DoseFacts,
  /** The statement that came. */
  cause: DoseStatement,
): Promise<string | null> {
  const statements = await statementsOf(tx, facts)
  const rows = (await dosesOfChild(tx, facts.childId)).filter(
    ({ vaccine, givenOn }) => vaccine === facts.vaccine && givenOn === facts.givenOn,
  )
  const living = rows.find(({ voidedAt }) => voidedAt === null)
  const said = statements.find(({ isWithdrawn }) => !isWithdrawn)
  if (said === undefined) return living === undefined ? null : takeBack(tx, deps, cause, living)
  if (living !== undefined) {
    await noteProblem(tx, facts, null)
    return living.id
  }
  if (rows.some(({ voidReason }) => voidReason !== AT_SOURCE)) {
    await askAPerson(tx, deps, {
      districtId: said.districtId,
      childId: facts.childId,
      note: `${said.issuer} says that ${inWords(facts)} was given; it was withdrawn here.`,
    })
    await noteProblem(tx, facts, 'withdrawn-here')
    return null
  }
  return record(tx, deps, facts, said)
}

/** Records the dose, or notes why it cannot be one. */
async function record(
  tx: Transaction,
  deps: Deps,
  facts: DoseFacts,
  said: DoseStatement,
): Promise<string | null> {
  const { childId, vaccine, givenOn } = facts
  const outcome = await attempt(tx, () =>
    recordDoses(tx, deps, {
      childId,
      vaccines: [{ vaccine, typedNumber: null }],
      givenOn,
      by: said.receivedBy,
      via: 'exchange',
      postId: said.postId,
      textInId: null,
      sentAt: said.statedAt,
      delivery: said.delivery,
      isElsewhere: said.isElsewhere,
      vial: null,
    }),
  )
  await noteProblem(tx, facts, outcome.kind === 'done' ? null : outcome.refusal.code)
  return outcome.kind === 'done' ? (outcome.value.recorded[0]?.id ?? null) : null
}

async function takeBack(
  tx: Transaction,
  deps: Deps,
  { districtId, issuer, receivedBy }: DoseStatement,
  living: Dose,
): Promise<string | null> {
  if (living.recordedVia === 'exchange') {
    await withdrawDose(tx, deps, { doseId: living.id, by: receivedBy, reason: AT_SOURCE })
    return null
  }
  const note = `${issuer} took back ${inWords(living)}; it was recorded here as well.`
  await askAPerson(tx, deps, { districtId, childId: living.childId, note })
  return living.id
}

function inWords({ vaccine, givenOn }: Pick<DoseFacts, 'vaccine' | 'givenOn'>): string {
  return `${vaccine} on ${formatDay(givenOn)}`
}
