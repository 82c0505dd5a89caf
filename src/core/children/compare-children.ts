/** Whether two records may be of one child: points for each fact, by rules that are data, with the reasons. */
import { addMonths, civilDate, dayOf } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { Sex } from '../model.ts'
import type { DoubleRules } from './double-rules.ts'
import { nameLikeness, nameWords } from './name-likeness.ts'
import type { NameLikeness } from './name-likeness.ts'

/** The facts of a child that tell it from others. */
export interface Identity {
  readonly name: string
  readonly formerNames: readonly string[]
  readonly sex: Sex | null
  readonly birthOn: Day
  readonly isBirthEstimated: boolean
  readonly villageId: string
  /** Numbers of the family. */
  readonly phones: readonly string[]
  /** Children of one birth, known as such, share this. */
  readonly birthGroup: string | null
}

/** A child on the register with what tells it from others. */
export interface IdentifiedChild extends Identity {
  readonly id: string
  readonly cardNumber: string
}

export interface Reason {
  readonly fact: 'name' | 'birth' | 'village' | 'phone' | 'sex'
  readonly says: string
  readonly points: number
}

export type Comparison =
  | { readonly kind: 'one-child'; readonly points: number; readonly reasons: readonly Reason[] }
  /** The points do not reach the line. */
  | { readonly kind: 'different'; readonly points: number; readonly reasons: readonly Reason[] }
  /** Of one birth: never a double, whatever the points. */
  | { readonly kind: 'twins' }

export function compareChildren(one: Identity, other: Identity, rules: DoubleRules): Comparison {
  const name = nameOf(one, other, rules)
  if (areTwins(one, other, rules)) return { kind: 'twins' }
  const reasons = [
    nameReason(name, rules),
    birthReason(one, other, rules),
    sameReason('village', one.villageId === other.villageId, rules.village),
    phoneReason(one, other, rules),
    ...sexReason(one, other, rules),
  ]
  const points = reasons.reduce((sum, reason) => sum + reason.points, 0)
  return { kind: points >= rules.reviewFrom ? 'one-child' : 'different', points, reasons }
}

/** Twins share day and phone, or day and village; sex or name tells them apart, and then no likeness makes them one. */
export function areTwins(one: Identity, other: Identity, rules: DoubleRules): boolean {
  if (one.birthGroup !== null && one.birthGroup === other.birthGroup) return true
  const isOneDay = Math.abs(one.birthOn - other.birthOn) <= rules.twinDays
  const isOneFamily = sharePhone(one, other)
  if (!isOneDay || (!isOneFamily && one.villageId !== other.villageId)) return false
  if (hasTwinNames(one.name, other.name, rules)) return true
  if (!isOneFamily) return false
  const name = nameOf(one, other, rules)
  if (name === 'unnamed') return isOtherSex(one, other)
  const isSameName = !name.isPart && name.likeness >= SAME_NAME
  return !isSameName && (isOtherSex(one, other) || name.likeness < rules.twinNameBelow)
}

const SAME_NAME = 0.97

/** For two children born on one day: whether the second is shown before the first gets a record of its own. */
export function mayBeSameChild(one: Identity, other: Identity, rules: DoubleRules): boolean {
  if (areTwins(one, other, rules) || isOtherSex(one, other)) return false
  const { likeness } = closest(one, other)
  return rules.name.some(({ from, points }) => points > 0 && likeness >= from)
}

function hasTwinNames(one: string, other: string, { twinNames }: DoubleRules): boolean {
  const holds = (name: string, wanted: string): boolean =>
    nameWords(name).some((word) => nameLikeness(word, wanted).likeness >= TWIN_NAME_LIKENESS)
  return twinNames.some(
    ([first = '', second = '']) =>
      (holds(one, first) && holds(other, second) && !holds(one, second)) ||
      (holds(one, second) && holds(other, first) && !holds(one, first)),
  )
}

const TWIN_NAME_LIKENESS = 0.9

function closest(one: Identity, other: Identity): NameLikeness {
  const all = [one.name, ...one.formerNames].flatMap((name) =>
    [other.name, ...other.formerNames].map((against) => nameLikeness(name, against)),
  )
  return all.reduce((best, next) => (next.likeness > best.likeness ? next : best))
}

function nameOf(one: Identity, other: Identity, rules: DoubleRules): NameLikeness | 'unnamed' {
  const isOneUnnamed = isUnnamed(one.name, rules) !== isUnnamed(other.name, rules)
  const best = closest(one, other)
  return isOneUnnamed && best.likeness < rules.twinNameBelow ? 'unnamed' : best
}

/** A child that is called only by a word such as "baby", perhaps with its mother's name. */
export function isUnnamed(name: string, { unnamedWords }: Pick<DoubleRules, 'unnamedWords'>): boolean {
  return nameWords(name).some((word) => unnamedWords.includes(word))
}

function nameReason(name: NameLikeness | 'unnamed', rules: DoubleRules): Reason {
  if (name === 'unnamed') return { fact: 'name', says: 'not named yet', points: rules.unnamed }
  const level = rules.name.find(({ from }) => name.likeness >= from)
  const points = (level?.points ?? 0) + (name.isPart ? rules.namePart : 0)
  return { fact: 'name', says: nameWordsOf(name), points }
}

function nameWordsOf({ likeness, isPart, isSwapped }: NameLikeness): string {
  const order = isSwapped && likeness >= SAME_NAME ? ', in another order' : ''
  if (likeness >= 1) return `same${order}`
  return `${Math.round(likeness * 100)} % alike${order}${isPart ? ', in part' : ''}`
}

function birthReason(one: Identity, other: Identity, rules: DoubleRules): Reason {
  const [says, points] = birthWords(one, other, rules)
  return { fact: 'birth', says, points }
}

function birthWords(one: Identity, other: Identity, rules: DoubleRules): readonly [string, number] {
  const { birth } = rules
  const apart = Math.abs(one.birthOn - other.birthOn)
  if (apart === 0) return ['same day', birth.same]
  if (apart <= rules.nearDays) return [`${apart} ${apart === 1 ? 'day' : 'days'} apart`, birth.near]
  if (swapped(one.birthOn) === other.birthOn) return ['day and month changed places', birth.swapped]
  if (yearApart(one.birthOn).includes(other.birthOn)) return ['same day of another year', birth.otherYear]
  if (apart <= rules.monthDays) return [`${apart} days apart`, birth.month]
  const isEstimated = one.isBirthEstimated || other.isBirthEstimated
  if (isEstimated && apart <= rules.estimatedDays) return ['near, one is estimated', birth.estimated]
  return ['other', birth.other]
}

/** The birth dates that a slip of the pen makes of one: day and month changed, the year before or after. */
export function slipsOf(birthOn: Day): readonly Day[] {
  const other = swapped(birthOn)
  return [...(other === undefined || other === birthOn ? [] : [other]), ...yearApart(birthOn)]
}

function swapped(day: Day): Day | undefined {
  const { year, month, dayOfMonth } = civilDate(day)
  return dayOf(year, dayOfMonth, month)
}

function yearApart(day: Day): readonly Day[] {
  return [addMonths(day, -12), addMonths(day, 12)]
}

function sameReason(
  fact: Reason['fact'],
  isSame: boolean,
  points: { readonly same: number; readonly other: number },
): Reason {
  return { fact, says: isSame ? 'same' : 'other', points: isSame ? points.same : points.other }
}

function sharePhone(one: Identity, other: Identity): boolean {
  return one.phones.some((phone) => other.phones.includes(phone))
}

function phoneReason(one: Identity, other: Identity, { phone }: DoubleRules): Reason {
  const isShared = sharePhone(one, other)
  return { fact: 'phone', says: isShared ? 'shared' : 'other', points: isShared ? phone.shared : phone.other }
}

function isOtherSex(one: Identity, other: Identity): boolean {
  return one.sex !== null && other.sex !== null && one.sex !== other.sex
}

function sexReason(one: Identity, other: Identity, { sex }: DoubleRules): readonly Reason[] {
  if (one.sex === null || other.sex === null) return []
  return [sameReason('sex', one.sex === other.sex, sex)]
}

/** What was compared, as one text: while it stays the same, "no double" holds. */
export function comparedFacts(one: Identity, other: Identity): string {
  const said = ({ name, sex, birthOn, villageId, phones }: Identity): string =>
    JSON.stringify([name, sex, birthOn, villageId, [...phones].sort()])
  return [said(one), said(other)].sort().join('\n')
}
