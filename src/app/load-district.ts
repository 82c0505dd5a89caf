import type { District, Person, SessionTimetable, Village } from '../core/model.ts'
import { parsePhoneNumber } from '../core/phone-number.ts'
import { Refusal } from '../core/refusals.ts'
import type { Schedule } from '../core/schedule/schedule.ts'
import { CALENDARS } from '../core/texts/say-day.ts'
import { putVillageTarget } from '../store/coverage.ts'
import type { Transaction } from '../store/database.ts'
import {
  findDistrictByName,
  listVillages,
  putDistrict,
  putHealthPost,
  putVillage,
} from '../store/districts.ts'
import { planAgainInVillage } from '../store/children.ts'
import { findPersonByPhone, putPerson, retireOthers } from '../store/people.ts'
import type { Deps } from './deps.ts'
import { todayIn } from './deps.ts'
import type { DistrictFile } from './district-file.ts'
import { provenCalendar } from './sessions-of.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'
import { drawAreas } from './draw-areas.ts'
import type { Shelf } from './shelf.ts'

export interface LoadedDistrict {
  readonly district: District
  readonly posts: number
  readonly villages: number
  readonly people: number
}

/**
 * Makes a district equal to its file; what has the same name stays the same record, so loading twice changes nothing.
 * Where session days or the district's rules changed, children are marked to be planned again.
 * @throws {Refusal} schedule-not-found, series-unknown, session-rule-invalid, post-not-found, areas-unfit, phone-impossible, phone-taken
 */
export async function loadDistrict(tx: Transaction, deps: Deps, file: DistrictFile): Promise<LoadedDistrict> {
  const { schedule, ...facts } = file.district
  proveWords(deps.shelf, file)
  refuseUnknownSeries(newestOf(await versionsOf(tx, deps.shelf, schedule)), file)
  const known = await findDistrictByName(tx, facts.name)
  refuseOtherPurpose(known, facts)
  const villagesBefore = known === undefined ? [] : await listVillages(tx, known.id)
  const district = await putDistrict(tx, { id: deps.newId(), scheduleCode: schedule, ...facts })
  const postIds = await loadPosts(tx, deps, district.id, file)
  const villageIds = await loadVillages(tx, deps, { districtId: district.id, postIds }, file)
  await drawAreas(tx, { districtId: district.id, villageIds, today: todayIn(deps, district) }, file)
  if (file.people !== undefined) await loadPeople(tx, deps, { district, postIds }, file.people)
  const isOther = known !== undefined && JSON.stringify(known) !== JSON.stringify(district)
  await planAgainWhereChanged(tx, deps, { district, isOther, villagesBefore })
  const people = file.people?.length ?? 0
  return { district, posts: postIds.size, villages: file.villages.length, people }
}

/** A real district must not fall silent by a slip, nor a practised one begin to text. @throws {Refusal} training-stays */
function refuseOtherPurpose(known: District | undefined, file: { readonly isTraining: boolean }): void {
  if (known === undefined || known.isTraining === file.isTraining) return
  throw new Refusal(
    'training-stays',
    `${known.name} is ${known.isTraining ? '' : 'not '}a training district and stays so; load the other one under another name.`,
  )
}

interface Before {
  readonly district: District
  /** True when the rules of the district itself are new. */
  readonly isOther: boolean
  readonly villagesBefore: readonly Village[]
}

async function planAgainWhereChanged(
  tx: Transaction,
  deps: Deps,
  { district, isOther, villagesBefore }: Before,
): Promise<void> {
  const days = new Map(villagesBefore.map(({ id, sessions: known }) => [id, JSON.stringify(known)]))
  for (const { id, sessions: now } of await listVillages(tx, district.id)) {
    const before = days.get(id)
    if (before === undefined || (!isOther && before === JSON.stringify(now))) continue
    await planAgainInVillage(tx, id, todayIn(deps, district))
  }
}

/** @throws {Refusal} language-not-found, input-invalid */
function proveWords(shelf: Shelf, { district, people = [] }: DistrictFile): void {
  const { books, policies } = shelf
  for (const language of [...district.languages, ...people.map((person) => person.language)]) {
    if (!books.has(language)) {
      const known = [...books.keys()].join(', ')
      throw new Refusal('language-not-found', `There is no phrase book in ${language}; there are ${known}.`)
    }
  }
  if (!CALENDARS.some((calendar) => calendar === district.calendar)) {
    throw new Refusal(
      'input-invalid',
      `${district.calendar} is no calendar here; there are ${CALENDARS.join(', ')}.`,
    )
  }
  if (!policies.has(district.reminderPolicy)) {
    const known = [...policies.keys()].join(', ')
    throw new Refusal(
      'input-invalid',
      `${district.reminderPolicy} is no reminder policy here; there are ${known}.`,
    )
  }
  refuseUnknown('policy on opened vials', [district.vialPolicy], shelf.vialPolicies)
  refuseUnknown('presentation of a vaccine', district.products, shelf.products)
}

function refuseUnknown(
  what: string,
  given: readonly string[],
  known: readonly { readonly code: string }[],
): void {
  const codes = known.map(({ code }) => code)
  const unknown = given.filter((code) => !codes.includes(code))
  if (unknown.length > 0)
    throw new Refusal(
      'input-invalid',
      `${unknown.join(', ')} is no ${what} here; there are ${codes.join(', ')}.`,
    )
}

function timetable(place: {
  readonly sessions: readonly string[] | null
  readonly extraDays: SessionTimetable['extraDays']
  readonly exceptDays: SessionTimetable['exceptDays']
}): SessionTimetable {
  const { sessions: rules, extraDays, exceptDays } = place
  const proven = { rules: rules ?? [], extraDays, exceptDays }
  provenCalendar(proven)
  return proven
}

async function loadPosts(tx: Transaction, deps: Deps, districtId: string, file: DistrictFile) {
  const ids = new Map<string, string>()
  for (const post of file.posts) {
    const stored = await putHealthPost(tx, {
      id: deps.newId(),
      districtId,
      name: post.name,
      sessions: timetable(post),
      sessionHours: post.hours,
    })
    ids.set(post.name, stored.id)
  }
  return ids
}

function postIdOf(postIds: ReadonlyMap<string, string>, name: string, of: string): string {
  const id = postIds.get(name)
  if (id !== undefined) return id
  throw new Refusal('post-not-found', `${of} names the post ${name}, which the file does not have.`)
}

async function loadVillages(
  tx: Transaction,
  deps: Deps,
  where: { readonly districtId: string; readonly postIds: ReadonlyMap<string, string> },
  file: DistrictFile,
): Promise<ReadonlyMap<string, string>> {
  const ids = new Map<string, string>()
  for (const village of file.villages) {
    const { name, population, birthsPer1000, infantDeathsPer1000Births, latitude, longitude } = village
    const stored = await putVillage(tx, {
      id: deps.newId(),
      districtId: where.districtId,
      postId: postIdOf(where.postIds, village.post, name),
      name,
      population,
      birthsPer1000,
      infantDeathsPer1000Births,
      latitude,
      longitude,
      sessions: timetable(village),
      sessionHours: village.hours,
    })
    await putVillageTarget(tx, stored.id, village.target)
    ids.set(name, stored.id)
  }
  return ids
}

/** A target of a series that nobody is given would be left out in silence. */
function refuseUnknownSeries({ series }: Schedule, { villages }: DistrictFile): void {
  const known = series.map(({ id }) => id)
  for (const { name, target } of villages) {
    const unknown = Object.keys(target.bySeries).find((id) => !known.includes(id))
    if (unknown === undefined) continue
    throw new Refusal(
      'series-unknown',
      `${name}: the schedule has no series ${unknown}; it has ${known.join(', ')}.`,
    )
  }
}

async function loadPeople(
  tx: Transaction,
  deps: Deps,
  where: { readonly district: District; readonly postIds: ReadonlyMap<string, string> },
  people: NonNullable<DistrictFile['people']>,
): Promise<void> {
  const { district, postIds } = where
  const phones: string[] = []
  for (const { name, role, phone, post, language } of people) {
    const parsed = parsePhoneNumber(phone, district.region)
    if (parsed.kind === 'impossible')
      throw new Refusal('phone-impossible', `${name}: ${phone} cannot be a phone number here.`)
    await refusePhoneOfOthers(tx, district, { name, phone: parsed.number })
    phones.push(parsed.number)
    const postId = post === null ? null : postIdOf(postIds, post, name)
    await putPerson(tx, {
      id: deps.newId(),
      districtId: district.id,
      postId,
      name,
      role,
      phone: parsed.number,
      language,
    })
  }
  await retireOthers(tx, district.id, phones)
}

/** A file speaks for its own district: it may not take someone away from another one. */
async function refusePhoneOfOthers(
  tx: Transaction,
  district: District,
  { name, phone }: Pick<Person, 'name' | 'phone'>,
): Promise<void> {
  const holder = await findPersonByPhone(tx, phone)
  if (holder === undefined || holder.districtId === district.id) return
  throw new Refusal(
    'phone-taken',
    `${name}: ${phone} belongs to someone who works in another district; retire that person there first.`,
  )
}
