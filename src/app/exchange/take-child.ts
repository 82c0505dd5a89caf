import { nameLikeness } from '../../core/children/name-likeness.ts'
import { formatDay } from '../../core/days/day.ts'
import type { StatedChild } from '../../core/exchange/patient-in.ts'
import type { Child } from '../../core/model.ts'
import { parsePhoneNumber } from '../../core/phone-number.ts'
import { Refusal } from '../../core/refusals.ts'
import { findChildIdsByNumbers } from '../../store/child-numbers.ts'
import { findChildByCard, getChild } from '../../store/children.ts'
import type { Transaction } from '../../store/database.ts'
import { findVillageByName, getVillage } from '../../store/districts.ts'
import { addChildNumbers } from '../add-child-numbers.ts'
import { changeStatus } from '../change-child.ts'
import type { Deps } from '../deps.ts'
import { todayIn } from '../deps.ts'
import { enrolChild } from '../enrol-child.ts'
import type { NewCaregiverLine } from '../enrol-child.ts'
import { askAPerson } from './ask-a-person.ts'
import type { ExchangeScope, Taken } from './scope.ts'

/**
 * Takes a child over, or finds it by any of its numbers: what is known is not overwritten, numbers are added, and a
 * death ends its texts at once. Where the other register says something else of it, a person is asked.
 * @throws {Refusal} numbers-disagree, number-taken, village-not-found and those of `enrolChild`
 */
export async function takeChild(
  tx: Transaction,
  deps: Deps,
  scope: ExchangeScope,
  stated: StatedChild,
): Promise<Taken & { readonly id: string }> {
  const known = await knownChild(tx, scope, stated)
  const child = known ?? (await enrolStated(tx, deps, scope, stated))
  await addChildNumbers(tx, deps, { childId: child.id, numbers: stated.numbers, by: scope.by })
  if (stated.isDead && child.status !== 'died') {
    await changeStatus(tx, deps, {
      childId: child.id,
      status: 'died',
      on: stated.diedOn ?? todayIn(deps, scope.district),
      reason: 'other-register',
      by: scope.by,
    })
  }
  if (known === undefined) return { kind: 'created', id: child.id, remark: null }
  const difference = differenceOf(known, stated)
  if (difference === null) return { kind: 'known', id: known.id, remark: null }
  await askAPerson(tx, deps, { districtId: known.districtId, childId: known.id, note: difference })
  return {
    kind: 'known',
    id: known.id,
    remark: { code: 'differs', detail: `${difference} A person looks at it.` },
  }
}

async function knownChild(
  tx: Transaction,
  { district }: ExchangeScope,
  { numbers, cardNumber }: StatedChild,
): Promise<Child | undefined> {
  const ofCard = cardNumber === null ? undefined : await findChildByCard(tx, cardNumber)
  const ids = new Set([
    ...(await findChildIdsByNumbers(tx, numbers)),
    ...(ofCard === undefined ? [] : [ofCard.id]),
  ])
  const [id] = ids
  if (id === undefined) return undefined
  if (ids.size > 1) {
    throw new Refusal('numbers-disagree', 'The numbers of this child belong to different children here.')
  }
  const child = await getChild(tx, id)
  if (child.districtId === district.id) return child
  throw new Refusal('number-taken', 'A number of this child belongs to one of another district.')
}

async function enrolStated(
  tx: Transaction,
  deps: Deps,
  scope: ExchangeScope,
  stated: StatedChild,
): Promise<Child> {
  const { cardNumber, name, sex, birthOn, isBirthEstimated } = stated
  const plan = await enrolChild(tx, deps, {
    districtId: scope.district.id,
    villageId: await villageOf(tx, scope, stated),
    name,
    sex,
    birthOn,
    isBirthEstimated,
    birthWeightGrams: null,
    birthMinute: null,
    cardNumber,
    caregiver: caregiverOf(deps, scope, stated),
    isKnownToBeNew: false,
    by: scope.by,
    via: 'exchange',
  })
  return plan.child
}

/** @throws {Refusal} village-not-found */
async function villageOf(
  tx: Transaction,
  { district, villageId }: ExchangeScope,
  stated: StatedChild,
): Promise<string> {
  const named = stated.villageId ?? villageId
  if (stated.villageId !== null) {
    const village = await getVillage(tx, stated.villageId)
    if (village.districtId === district.id) return village.id
  }
  for (const name of stated.placeNames) {
    const village = await findVillageByName(tx, district.id, name)
    if (village !== undefined) return village.id
  }
  if (named !== null && named === villageId) return named
  throw new Refusal(
    'village-not-found',
    `No address of the child names a village of ${district.name}; name one, or send ?village=… for all that name none.`,
  )
}

/** A phone that cannot be one is left out rather than the child. */
function caregiverOf(deps: Deps, { district }: ExchangeScope, stated: StatedChild): NewCaregiverLine | null {
  const parsed = parsePhoneNumber(stated.phone ?? '', district.region)
  if (parsed.kind === 'impossible') return null
  const { language } = stated
  return {
    number: parsed.number,
    language:
      language !== null && deps.shelf.books.has(language) ? language : (district.languages[0] ?? 'en'),
    relation: stated.relation,
    consent: 'given',
    consentSource: 'other-register',
  }
}

/** Names less alike than this are put before a person. */
const ALIKE = 0.75

/** What the other register says otherwise of a child. */
function differenceOf(child: Child, stated: StatedChild): string | null {
  const isSameBirth = child.birthOn === stated.birthOn || stated.isBirthEstimated || child.isBirthEstimated
  const isSameSex = child.sex === null || stated.sex === null || child.sex === stated.sex
  const isAlike = nameLikeness(child.name, stated.name).likeness >= ALIKE
  if (isSameBirth && isSameSex && isAlike) return null
  const inWords = ({ name, sex, birthOn }: Pick<Child, 'name' | 'sex' | 'birthOn'>) =>
    `${name}, ${sex ?? 'sex not known'}, born ${formatDay(birthOn)}`
  return `Another register has ${inWords(stated)}; here it is ${inWords(child)}.`
}
