import { formatDay } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import { formatCardNumber } from '../core/card-number.ts'
import { OLDEST_AGE_DAYS } from '../core/children/oldest-age.ts'
import { mayBeSameChild } from '../core/children/compare-children.ts'
import type { Child, Consent, Sex } from '../core/model.ts'
import type { ReminderPreference } from '../core/reminders/preference.ts'
import { Refusal } from '../core/refusals.ts'
import { labelChild } from '../core/texts/child-label.ts'
import { findChildByCard, insertChild } from '../store/children.ts'
import type { PhoneKind } from '../store/families.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { childrenToCompare } from '../store/find-children.ts'
import { changeLine, joinLine, putLine } from '../store/people.ts'
import type { Deps } from './deps.ts'
import { todayIn } from './deps.ts'
import { announce } from './webhooks/announce.ts'
import { greetLine } from './greet-line.ts'
import { makeCards } from './make-cards.ts'
import { doubleRulesOf } from './matching-rules.ts'
import { noteChange } from './note-change.ts'
import { refreshPlan } from './refresh-plan.ts'
import type { Plan } from './refresh-plan.ts'

export interface Enrolment {
  readonly districtId: string
  readonly villageId: string
  readonly name: string
  readonly sex: Sex | null
  readonly birthOn: Day
  readonly isBirthEstimated: boolean
  readonly birthWeightGrams: number | null
  /** Minutes after midnight; null where the hour is not known. */
  readonly birthMinute: number | null
  /** Null: we make one. */
  readonly cardNumber: string | null
  /** Null: a family without a phone, reached through the health worker. */
  readonly caregiver: NewCaregiverLine | null
  /** True once someone has seen the records that look alike and says that this is another child. */
  readonly isKnownToBeNew: boolean
  readonly by: string
  readonly via: 'api' | 'sms' | 'ussd' | 'import' | 'exchange'
}

export interface NewCaregiverLine {
  /** E.164 with "+". */
  readonly number: string
  readonly language: string
  readonly relation: string | null
  /** Whose phone it is, where that was told. */
  readonly phoneKind?: PhoneKind | null
  readonly consent: Consent
  readonly consentSource: string
  /** Left out: as the line has it, for a new one every kind. */
  readonly preference?: ReminderPreference | undefined
}

/** A child that stood on the register before, with just enough to tell whether it is the same. */
export interface Candidate {
  readonly cardNumber: string
  readonly name: string
  readonly birthDate: string
}

/**
 * Puts a child on the register, joins the caregiver's line and plans the first visit.
 * @throws {Refusal} birth-in-future, birth-too-long-ago, child-may-exist (facts: candidates), card-taken
 */
export async function enrolChild(tx: Transaction, deps: Deps, enrolment: Enrolment): Promise<Plan> {
  const district = await getDistrict(tx, enrolment.districtId)
  const today = todayIn(deps, district)
  refuseBadBirth(enrolment.birthOn, today)
  if (!enrolment.isKnownToBeNew) await refuseLikelyDouble(tx, deps, enrolment)
  const child = await insertChild(tx, {
    id: deps.newId(),
    districtId: district.id,
    villageId: enrolment.villageId,
    cardNumber: await cardNumberFor(tx, enrolment.cardNumber),
    name: enrolment.name,
    sex: enrolment.sex,
    birthOn: enrolment.birthOn,
    isBirthEstimated: enrolment.isBirthEstimated,
    birthWeightGrams: enrolment.birthWeightGrams,
    birthMinute: enrolment.birthMinute,
    enrolledOn: today,
    enrolledBy: enrolment.by,
    enrolledVia: enrolment.via,
    createdAt: deps.clock.now(),
  })
  if (enrolment.caregiver !== null) await joinCaregiver(tx, deps, child, enrolment.caregiver)
  await noteChange(tx, deps, {
    districtId: district.id,
    actor: enrolment.by,
    act: 'enrol',
    subject: { kind: 'child', id: child.id },
  })
  await announce(tx, deps, district, [{ kind: 'enrolment', childId: child.id, subjectId: null }])
  return refreshPlan(tx, deps, child.id)
}

/** @throws {Refusal} birth-in-future, birth-too-long-ago */
export function refuseBadBirth(birthOn: Day, today: Day): void {
  const day = formatDay(birthOn)
  const facts = { word: day }
  if (birthOn > today) {
    throw new Refusal('birth-in-future', `${day} is still to come; check the birth date.`, { facts })
  }
  if (today - birthOn > OLDEST_AGE_DAYS) {
    throw new Refusal('birth-too-long-ago', `${day} is more than 18 years ago; check the birth date.`, {
      facts,
    })
  }
}

/** No district has as many; a bound on what is compared. */
const MOST_BORN_IN_A_DAY = 5000

async function refuseLikelyDouble(tx: Transaction, { shelf }: Deps, enrolment: Enrolment): Promise<void> {
  const { districtId, villageId, name, sex, birthOn, isBirthEstimated, caregiver } = enrolment
  const born = await childrenToCompare(tx, {
    districtId,
    villageId: null,
    birth: { fromOn: birthOn, toOn: birthOn },
    cardNumber: null,
    limit: MOST_BORN_IN_A_DAY,
  })
  const rules = await doubleRulesOf(tx, shelf, districtId)
  const phones = caregiver === null ? [] : [caregiver.number]
  const asGiven = {
    name,
    formerNames: [],
    sex,
    birthOn,
    isBirthEstimated,
    villageId,
    phones,
    birthGroup: null,
  }
  const candidates = born
    .filter((child) => mayBeSameChild(asGiven, child, rules))
    .map((child) => ({ cardNumber: child.cardNumber, name: child.name, birthDate: formatDay(child.birthOn) }))
  if (candidates.length === 0) return
  const cards = candidates.map((candidate) => candidate.cardNumber).join(', ')
  throw new Refusal(
    'child-may-exist',
    `A child with a like name and the same birth date has card ${cards}. If this is another child, say so and send again.`,
    { facts: { candidates, word: candidates.map(inWords).join('; ') } },
  )
}

function inWords({ cardNumber, name }: Candidate): string {
  return `${formatCardNumber(cardNumber)} ${labelChild(name, 'first-name')}`
}

async function cardNumberFor(tx: Transaction, given: string | null): Promise<string> {
  if (given !== null) {
    const holder = await findChildByCard(tx, given)
    if (holder === undefined) return given
    throw new Refusal('card-taken', `Card ${given} belongs to another child; check the number.`)
  }
  const [made] = await makeCards(tx, 1)
  if (made === undefined) throw new Error('no card was made')
  return made
}

/**
 * Joins a phone to a child; a line that is known keeps its own language and consent, a new one is greeted. Which
 * reminders the family wants holds for the line and all its children.
 */
export async function joinCaregiver(
  tx: Transaction,
  deps: Deps,
  child: Child,
  caregiver: NewCaregiverLine,
): Promise<void> {
  const now = deps.clock.now()
  const { line, isNew } = await putLine(tx, {
    id: deps.newId(),
    districtId: child.districtId,
    number: caregiver.number,
    language: caregiver.language,
    consent: caregiver.consent,
    consentSource: caregiver.consentSource,
    consentAt: now,
  })
  const link = {
    id: deps.newId(),
    childId: child.id,
    lineId: line.id,
    relation: caregiver.relation,
    phoneKind: caregiver.phoneKind ?? null,
    since: now,
  }
  await joinLine(tx, link)
  if (caregiver.preference !== undefined) await changeLine(tx, line.id, { preference: caregiver.preference })
  if (isNew) await greetLine(tx, deps, { line, child, district: await getDistrict(tx, child.districtId) })
}
