import { z } from 'zod'
import type { District, HealthPost, SessionTimetable, Village } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import type {
  District as DistrictRow,
  HealthPost as PostRow,
  Village as VillageRow,
} from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { fromDate, toDate } from './days.ts'

interface TimetableRow {
  readonly sessionRules: readonly string[]
  readonly extraDays: readonly Date[]
  readonly exceptDays: readonly Date[]
}

function timetable(row: TimetableRow): SessionTimetable {
  return {
    rules: row.sessionRules,
    extraDays: row.extraDays.map(fromDate),
    exceptDays: row.exceptDays.map(fromDate),
  }
}

function timetableColumns(sessions: SessionTimetable) {
  return {
    sessionRules: [...sessions.rules],
    extraDays: sessions.extraDays.map(toDate),
    exceptDays: sessions.exceptDays.map(toDate),
  }
}

const wordingShape = z.record(z.string(), z.record(z.string(), z.string()))

function district(row: DistrictRow): District {
  return {
    id: row.id,
    name: row.name,
    timeZone: row.timeZone,
    region: row.region,
    languages: row.languages,
    calendar: row.calendar,
    isDayFirst: row.isDayFirst,
    scheduleCode: row.scheduleCode,
    bundlingDays: row.bundlingDays,
    reminderPolicy: row.reminderPolicy,
    wording: wordingShape.parse(row.wording),
    // The table's check allows only these values.
    childNaming: row.childNaming as District['childNaming'],
    isTraining: row.isTraining,
    vialPolicy: row.vialPolicy,
    products: row.products,
    pinActs: row.pinActs,
  }
}

function healthPost(row: PostRow): HealthPost {
  const { id, districtId, name, sessionHours, nationalId } = row
  return {
    id,
    districtId,
    name,
    sessions: timetable(row),
    sessionHours,
    nationalId,
    // The table's check allows only these values.
    kind: row.kind as HealthPost['kind'],
    untilOn: row.untilOn === null ? null : fromDate(row.untilOn),
  }
}

/** A village with days of its own has its own timetable; the others follow their post. */
function village(row: VillageRow & { readonly post: PostRow }): Village {
  const own = timetable(row)
  const hasOwn = own.rules.length > 0 || own.extraDays.length > 0
  const posts = timetable(row.post)
  return {
    id: row.id,
    districtId: row.districtId,
    postId: row.postId,
    postName: row.post.name,
    name: row.name,
    population: row.population,
    birthsPer1000: row.birthsPer1000?.toNumber() ?? null,
    infantDeathsPer1000Births: row.infantDeathsPer1000Births?.toNumber() ?? null,
    latitude: row.latitude,
    longitude: row.longitude,
    sessions: hasOwn ? own : { ...posts, exceptDays: [...posts.exceptDays, ...own.exceptDays] },
    sessionHours: hasOwn ? row.sessionHours : row.post.sessionHours,
    sessionPlace: hasOwn ? row.name : row.post.name,
  }
}

const withPost = { post: true } as const

/** @throws {Refusal} district-not-found */
export async function getDistrict(db: Db, id: string): Promise<District> {
  const row = await db.district.findUnique({ where: { id } })
  if (row === null)
    throw new Refusal('district-not-found', `There is no district ${id}; see GET /v1/districts.`)
  return district(row)
}

export async function findDistrictByName(db: Db, name: string): Promise<District | undefined> {
  const row = await db.district.findUnique({ where: { name } })
  return row === null ? undefined : district(row)
}

export async function listDistricts(db: Db): Promise<District[]> {
  return (await db.district.findMany({ orderBy: { name: 'asc' } })).map(district)
}

/** The districts in which people only practise. */
export async function listTrainingDistricts(db: Db): Promise<string[]> {
  const rows = await db.district.findMany({ where: { isTraining: true }, select: { id: true } })
  return rows.map(({ id }) => id)
}

/** What a district file says; wording is set apart, so that loading a file again does not undo it. */
export type DistrictFacts = Omit<District, 'wording'>

/** Inserts the district or, where its name is known, makes it equal; answers the stored one. */
export async function putDistrict(db: Db, given: DistrictFacts): Promise<District> {
  const { id, name, ...rest } = given
  const data = {
    ...rest,
    languages: [...rest.languages],
    products: [...rest.products],
    pinActs: [...rest.pinActs],
  }
  return district(await db.district.upsert({ where: { name }, create: { id, name, ...data }, update: data }))
}

/** Sets how a district words its texts. */
export async function setWording(db: Db, id: string, wording: District['wording']): Promise<void> {
  await db.district.update({ where: { id }, data: { wording } })
}

/** What a district file says of a post; what it does not say stays as it is. */
export type FiledPost = Omit<HealthPost, 'nationalId' | 'kind' | 'untilOn'>

export async function putHealthPost(db: Db, post: FiledPost): Promise<HealthPost> {
  const { districtId, name } = post
  const columns = { ...timetableColumns(post.sessions), sessionHours: post.sessionHours }
  return healthPost(
    await db.healthPost.upsert({
      where: { districtId_name: { districtId, name } },
      create: { id: post.id, districtId, name, ...columns },
      update: columns,
    }),
  )
}

export async function listHealthPosts(db: Db, districtId: string): Promise<HealthPost[]> {
  return (await db.healthPost.findMany({ where: { districtId }, orderBy: { name: 'asc' } })).map(healthPost)
}

/** What can be set of a village; its timetable is its own (empty: the post's). */
export type VillageFacts = Omit<Village, 'postName' | 'sessionPlace'>

export async function putVillage(db: Db, given: VillageFacts): Promise<Village> {
  const { id, districtId, name, sessions, ...rest } = given
  const columns = { ...rest, ...timetableColumns(sessions) }
  return village(
    await db.village.upsert({
      where: { districtId_name: { districtId, name } },
      create: { id, districtId, name, ...columns },
      update: columns,
      include: withPost,
    }),
  )
}

/** What is said of a village that is nowhere, and of one that is not the caller's to know. */
export const villageNotFound = (id: string): Refusal =>
  new Refusal('village-not-found', `There is no village ${id}; see GET /v1/villages.`)

/** @throws {Refusal} village-not-found */
export async function getVillage(db: Db, id: string): Promise<Village> {
  const row = await db.village.findUnique({ where: { id }, include: withPost })
  if (row === null) throw villageNotFound(id)
  return village(row)
}

export async function listVillages(db: Db, districtId: string): Promise<Village[]> {
  const rows = await db.village.findMany({
    where: { districtId },
    include: withPost,
    orderBy: { name: 'asc' },
  })
  return rows.map(village)
}

/** Village names are compared without regard to case. */
export async function findVillageByName(
  db: Db,
  districtId: string,
  name: string,
): Promise<Village | undefined> {
  const row = await db.village.findFirst({
    where: { districtId, name: { equals: name, mode: 'insensitive' } },
    include: withPost,
  })
  return row === null ? undefined : village(row)
}

export interface VillageChange {
  readonly population?: number | null | undefined
  readonly birthsPer1000?: number | null | undefined
  readonly infantDeathsPer1000Births?: number | null | undefined
  readonly sessions?: SessionTimetable | undefined
}

export async function setVillageFacts(db: Db, id: string, change: VillageChange): Promise<void> {
  const { sessions, ...facts } = change
  const data = { ...withoutUndefined(facts), ...(sessions === undefined ? {} : timetableColumns(sessions)) }
  await db.village.update({ where: { id }, data })
}

function withoutUndefined<T extends object>(facts: T): { [Key in keyof T]?: Exclude<T[Key], undefined> } {
  // Only keys whose value is there are kept, which is what the type says.
  return Object.fromEntries(Object.entries(facts).filter(([, value]) => value !== undefined)) as {
    [Key in keyof T]?: Exclude<T[Key], undefined>
  }
}
