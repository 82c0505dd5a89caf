import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import { formatDay } from '../core/days/day.ts'
import type { ReactionToTell } from '../core/exchange/adverse-event-out.ts'
import type { DoseToTell } from '../core/exchange/immunization-out.ts'
import type { ChildToTell } from '../core/exchange/patient-out.ts'
import type { Alike } from '../core/exchange/without-identity.ts'
import type { Range } from '../core/exchange/search-dates.ts'
import { SYSTEM } from '../core/exchange/systems.ts'
import { CHILD_STATUSES } from '../core/model.ts'
import type { Db } from './database.ts'
import { dayColumn } from './days.ts'
import { vaultOf } from './sealing/seal-client.ts'
import { statement } from './statements.ts'

/** Children and doses page by page, as other systems are told of them. */

const numberShape = z.object({ issuer: z.string(), number: z.string() })

const ChildRow = z
  .object({
    id: z.string(),
    district_id: z.string(),
    district_name: z.string(),
    village_id: z.string(),
    village_name: z.string(),
    card_number: z.string(),
    name: z.string(),
    sex: z.enum(['female', 'male']).nullable(),
    birth_on: dayColumn,
    is_birth_estimated: z.boolean(),
    birth_order: z.int().nullable(),
    status: z.enum(CHILD_STATUSES),
    status_on: dayColumn.nullable(),
    updated_at: z.date(),
    lines: z.array(z.object({ number: z.string(), language: z.string(), relation: z.string().nullable() })),
    numbers: z.array(numberShape),
  })
  .transform((row) => ({
    id: row.id,
    districtId: row.district_id,
    districtName: row.district_name,
    villageId: row.village_id,
    villageName: row.village_name,
    cardNumber: row.card_number,
    numbers: row.numbers,
    name: row.name,
    sex: row.sex,
    birthOn: row.birth_on,
    isBirthEstimated: row.is_birth_estimated,
    birthOrder: row.birth_order,
    status: row.status,
    statusOn: row.status_on,
    lines: row.lines,
    updatedAt: row.updated_at,
  }))

const DoseRow = z
  .object({
    id: z.string(),
    child_id: z.string(),
    vaccine: z.string(),
    given_on: dayColumn,
    given_minute: z.int().nullable(),
    time_zone: z.string(),
    post_id: z.string().nullable(),
    post_name: z.string().nullable(),
    delivery: z.string(),
    is_elsewhere: z.boolean(),
    recorded_at: z.date(),
    void_reason: z.string().nullable(),
    updated_at: z.date(),
    numbers: z.array(numberShape),
    counts: z.array(z.object({ series: z.string(), dose: z.int() })),
  })
  .transform((row): DoseToTell => ({
    id: row.id,
    childId: row.child_id,
    numbers: row.numbers,
    vaccine: row.vaccine,
    givenOn: row.given_on,
    givenMinute: row.given_minute,
    timeZone: row.time_zone,
    postId: row.post_id,
    postName: row.post_name,
    delivery: row.delivery,
    isElsewhere: row.is_elsewhere,
    recordedAt: row.recorded_at,
    voidReason: row.void_reason,
    counts: row.counts,
    updatedAt: row.updated_at,
  }))

const ReactionRow = z
  .object({
    id: z.string(),
    child_id: z.string(),
    reaction_on: dayColumn,
    reported_at: z.date(),
    post_id: z.string().nullable(),
    words: z.string(),
    signs: z.array(z.string()),
    outcomes: z.array(z.string()),
    is_serious: z.boolean(),
    dose_ids: z.array(z.string()),
    updated_at: z.date(),
  })
  .transform((row): ReactionToTell => ({
    id: row.id,
    childId: row.child_id,
    reactionOn: row.reaction_on,
    reportedAt: row.reported_at,
    postId: row.post_id,
    words: row.words,
    signs: row.signs,
    outcomes: row.outcomes,
    isSerious: row.is_serious,
    doseIds: row.dose_ids,
    updatedAt: row.updated_at,
  }))

const childRows = statement('page-patients', ChildRow)
const doseRows = statement('page-immunizations', DoseRow)
const reactionRows = statement('page-reactions', ReactionRow)

/** A page by keyset; every part left out is left open. */
export interface PageWish {
  /** Null: every district. */
  readonly districtId: string | null
  readonly afterId?: string | undefined
  readonly limit: number
  readonly ids?: readonly string[] | undefined
  /** Identifier of a place. */
  readonly place?: string | undefined
  readonly changed?: Range<Date> | undefined
  /** A number and, where it is named, its issuer. */
  readonly number?: { readonly issuer: string | null; readonly number: string } | undefined
}

export interface ChildWish extends PageWish {
  readonly born?: Range<Day> | undefined
}

export interface ReactionWish extends PageWish {
  readonly childId?: string | undefined
  readonly began?: Range<Day> | undefined
}

export interface DoseWish extends PageWish {
  readonly childId?: string | undefined
  readonly given?: Range<Day> | undefined
  readonly vaccines?: readonly string[] | undefined
  readonly isWithdrawn?: boolean | undefined
}

const day = (value: Day | null): string | null => (value === null ? null : formatDay(value))

/** What both pages are asked, as their statements take it. */
function asked(db: Db, { afterId, place, ids, changed, number }: PageWish) {
  return {
    afterId: afterId ?? null,
    place: place ?? null,
    ids: ids === undefined ? null : [...ids],
    changed: changed ?? { from: null, before: null },
    issuer: number?.issuer ?? null,
    number: number?.number ?? null,
    forms: number === undefined ? null : vaultOf(db).formsOf(number.number),
  }
}

const daysOf = (range: Range<Day> | undefined) => ({
  from: day(range?.from ?? null),
  before: day(range?.before ?? null),
})

/** A child of a page, with the district it is in. */
export type TellableChild = ChildToTell & { readonly districtId: string }

export function pageOfChildrenToTell(db: Db, wish: ChildWish): Promise<TellableChild[]> {
  const { place, changed, afterId, ids, issuer, number, forms } = asked(db, wish)
  const born = daysOf(wish.born)
  return childRows(
    db,
    wish.districtId,
    place,
    born.from,
    born.before,
    changed.from,
    changed.before,
    afterId,
    wish.limit,
    ids,
    issuer,
    number,
    forms,
    SYSTEM.card,
  )
}

export function pageOfDosesToTell(db: Db, wish: DoseWish): Promise<DoseToTell[]> {
  const { place, changed, afterId, ids, issuer, forms } = asked(db, wish)
  const given = daysOf(wish.given)
  return doseRows(
    db,
    wish.districtId,
    wish.childId ?? null,
    place,
    given.from,
    given.before,
    changed.from,
    changed.before,
    afterId,
    wish.limit,
    ids,
    issuer,
    forms,
    wish.vaccines === undefined ? null : [...wish.vaccines],
    wish.isWithdrawn ?? null,
  )
}

export function pageOfReactionsToTell(db: Db, wish: ReactionWish): Promise<ReactionToTell[]> {
  const { place, changed, afterId, ids } = asked(db, wish)
  const began = daysOf(wish.began)
  return reactionRows(
    db,
    wish.districtId,
    wish.childId ?? null,
    place,
    began.from,
    began.before,
    changed.from,
    changed.before,
    afterId,
    wish.limit,
    ids,
  )
}

const alikeRows = statement(
  'count-alike',
  z.object({ id: z.string(), in_village: z.int(), in_district: z.int() }),
)

/** How many children share birth month and sex with each of these, by identifier. */
export async function countAlike(db: Db, ids: readonly string[]): Promise<ReadonlyMap<string, Alike>> {
  const rows = await alikeRows(db, [...ids])
  return new Map(rows.map((row) => [row.id, { inVillage: row.in_village, inDistrict: row.in_district }]))
}

const nowRows = statement('database-now', z.object({ now: z.date() }))

/** The time by the clock that dates every change of a record. */
export async function databaseNow(db: Db): Promise<Date> {
  const [row] = await nowRows(db)
  if (row === undefined) throw new Error('the database told no time')
  return row.now
}
