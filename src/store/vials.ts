import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import type { VialConditions } from '../core/vials/conditions.ts'
import type { DiscardLimit } from '../core/vials/discard-by.ts'
import type { DiscardReason } from '../core/vials/discard-reason.ts'
import type { VialWarning, VialWarningKind } from '../core/vials/vial-warnings.ts'
import type { Vial } from '../core/vials/vial.ts'
import type { Vial as VialRow } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { dayColumn, fromDate, toDate } from './days.ts'
import { hold } from './hold.ts'
import { statement } from './statements.ts'

function vial(row: VialRow): Vial {
  return {
    id: row.id,
    districtId: row.districtId,
    postId: row.postId,
    number: row.number,
    vaccine: row.vaccine,
    product: row.product,
    lot: row.lot,
    maker: row.maker,
    expiryOn: fromDate(row.expiryOn),
    openedAt: row.openedAt,
    openedBy: row.openedBy,
    // The table's checks allow only these values.
    discardBy: { at: row.discardBy, because: row.discardBecause as DiscardLimit },
    discardedAt: row.discardedAt,
    discardReason: row.discardReason as DiscardReason | null,
  }
}

/** What is stored of a vial when it is opened. */
export interface NewVial extends Omit<Vial, 'number' | 'discardedAt' | 'discardReason'> {
  readonly openedVia: string
  readonly textInId: string | null
  readonly conditions: VialConditions | null
  readonly policy: string
  readonly sessionEndsAt: Date | null
}

/** Three digits from the first on, so that no number is taken for a dose's. */
const FIRST_NUMBER = 101

/** Stores an opened vial under the district's next number. */
export async function insertVial(db: Db, given: NewVial): Promise<Vial> {
  await hold(db, [`vial numbers of ${given.districtId}`])
  const last = await db.vial.aggregate({ where: { districtId: given.districtId }, _max: { number: true } })
  const { discardBy, expiryOn, conditions, ...rest } = given
  return vial(
    await db.vial.create({
      data: {
        ...rest,
        number: (last._max.number ?? FIRST_NUMBER - 1) + 1,
        expiryOn: toDate(expiryOn),
        discardBy: discardBy.at,
        discardBecause: discardBy.because,
        ...(conditions === null ? {} : { conditions: { ...conditions } }),
      },
    }),
  )
}

export async function findVial(db: Db, id: string): Promise<Vial | undefined> {
  const row = await db.vial.findUnique({ where: { id, voidedAt: null } })
  return row === null ? undefined : vial(row)
}

/** The vial with a number of the district. */
export async function findVialByNumber(
  db: Db,
  districtId: string,
  number: number,
): Promise<Vial | undefined> {
  const where = { districtId_number: { districtId, number }, voidedAt: null }
  const row = await db.vial.findUnique({ where })
  return row === null ? undefined : vial(row)
}

/** Vials in use at a post, or in a district, those to be discarded first in front. */
export async function listVialsInUse(
  db: Db,
  place: { readonly districtId: string; readonly postId: string | null },
): Promise<Vial[]> {
  const { districtId, postId } = place
  const rows = await db.vial.findMany({
    where: { districtId, discardedAt: null, voidedAt: null, ...(postId === null ? {} : { postId }) },
    orderBy: [{ discardBy: 'asc' }, { number: 'asc' }],
  })
  return rows.map(vial)
}

/** Vials of a post that were open at some time between two instants, discarded ones too. */
export async function listVialsOpenBetween(
  db: Db,
  between: {
    readonly districtId: string
    readonly postId: string
    readonly from: Date
    readonly until: Date
  },
): Promise<Vial[]> {
  const { districtId, postId, from, until } = between
  const rows = await db.vial.findMany({
    where: {
      districtId,
      postId,
      voidedAt: null,
      openedAt: { lte: until },
      discardBy: { gte: from },
      OR: [{ discardedAt: null }, { discardedAt: { gte: from } }],
    },
    orderBy: { number: 'asc' },
  })
  return rows.map(vial)
}

/** Vials opened from one instant to another, for the figures. */
export async function listVialsOpened(db: Db, districtId: string, from: Date, until: Date): Promise<Vial[]> {
  const rows = await db.vial.findMany({
    where: { districtId, voidedAt: null, openedAt: { gte: from, lte: until } },
    orderBy: { number: 'asc' },
  })
  return rows.map(vial)
}

/** The vials of a lot in a district. */
export async function listVialsOfLot(db: Db, districtId: string, lot: string): Promise<Vial[]> {
  const rows = await db.vial.findMany({
    where: { districtId, lot, voidedAt: null },
    orderBy: { number: 'asc' },
  })
  return rows.map(vial)
}

const drawRows = statement(
  'count-vial-draws',
  z.object({ vial_id: z.string(), vaccine: z.string(), doses: z.int() }),
)

/** Doses on record that were drawn from some vials, by vial and vaccine. */
export async function countDraws(
  db: Db,
  vialIds: readonly string[],
): Promise<ReadonlyMap<string, ReadonlyMap<string, number>>> {
  const draws = new Map<string, Map<string, number>>()
  for (const { vial_id, vaccine, doses } of await drawRows(db, [...vialIds]))
    draws.set(vial_id, (draws.get(vial_id) ?? new Map<string, number>()).set(vaccine, doses))
  return draws
}

const exposedRows = statement(
  'list-doses-of-vials',
  z.object({
    dose_id: z.string(),
    vial_id: z.string(),
    child_id: z.string(),
    card_number: z.string(),
    name: z.string(),
    vaccine: z.string(),
    given_on: dayColumn,
    given_minute: z.int().nullable(),
    sent_at: z.date().nullable(),
    recorded_by: z.string(),
    worker: z.string(),
    post: z.string().nullable(),
    village: z.string(),
  }),
)

/** A child that had a dose from a vial, and what an investigator asks of it. */
export interface ExposedChild {
  readonly doseId: string
  readonly vialId: string
  readonly childId: string
  readonly cardNumber: string
  readonly name: string
  readonly village: string
  readonly vaccine: string
  readonly givenOn: Day
  /** The hour as it was told; minutes after midnight. */
  readonly givenMinute: number | null
  readonly sentAt: Date | null
  readonly post: string | null
  readonly recordedBy: string
  /** Who recorded it, by name. */
  readonly worker: string
}

/** Every child that had a dose from one of these vials. */
export async function listDosesOfVials(db: Db, vialIds: readonly string[]): Promise<ExposedChild[]> {
  const rows = await exposedRows(db, [...vialIds])
  return rows.map((row) => ({
    doseId: row.dose_id,
    vialId: row.vial_id,
    childId: row.child_id,
    cardNumber: row.card_number,
    name: row.name,
    village: row.village,
    vaccine: row.vaccine,
    givenOn: row.given_on,
    givenMinute: row.given_minute,
    sentAt: row.sent_at,
    post: row.post,
    recordedBy: row.recorded_by,
    worker: row.worker,
  }))
}

/** Vials by their identifiers. */
export async function vialsById(db: Db, ids: readonly string[]): Promise<ReadonlyMap<string, Vial>> {
  const rows = await db.vial.findMany({ where: { id: { in: [...ids] } } })
  return new Map(rows.map((row) => [row.id, vial(row)]))
}

export interface Discard {
  readonly at: Date
  readonly by: string
  readonly reason: DiscardReason
  readonly words: string | null
}

/** Marks a vial as thrown away; its warnings fall away. */
export async function discardVial(db: Db, id: string, { at, by, reason, words }: Discard): Promise<void> {
  await db.vial.update({
    where: { id },
    data: { discardedAt: at, discardedBy: by, discardReason: reason, discardWords: words },
  })
  await withdrawWarnings(db, id, at)
}

/** A discard that was a slip: the vial is in use again. */
export async function takeBackDiscard(db: Db, id: string): Promise<void> {
  await db.vial.update({
    where: { id },
    data: { discardedAt: null, discardedBy: null, discardReason: null, discardWords: null },
  })
}

/** A vial whose opening was a slip; doses that named it stay as they are. */
export async function voidVial(db: Db, id: string, at: Date): Promise<void> {
  await db.vial.update({ where: { id }, data: { voidedAt: at } })
  await withdrawWarnings(db, id, at)
}

/** Makes the warnings still to come equal to these; what was sent stays. */
export async function putWarnings(db: Db, vialId: string, warnings: readonly VialWarning[]): Promise<void> {
  await db.vialWarning.deleteMany({ where: { vialId, status: { not: 'sent' } } })
  await db.vialWarning.createMany({
    data: warnings.map(({ kind, at }) => ({ vialId, kind, sendAt: at })),
    skipDuplicates: true,
  })
}

async function withdrawWarnings(db: Db, vialId: string, at: Date): Promise<void> {
  await db.vialWarning.updateMany({
    where: { vialId, status: 'planned' },
    data: { status: 'withdrawn', settledAt: at },
  })
}

const toWarnRows = statement('list-vials-to-warn-of', z.object({ id: z.string() }))

/** Vials with a warning whose time has come. */
export async function listVialsToWarnOf(db: Db, now: Date, limit: number): Promise<string[]> {
  return (await toWarnRows(db, now, limit)).map((row) => row.id)
}

const warningRows = statement(
  'take-vial-warnings',
  z.object({ kind: z.enum(['ends-soon', 'ends-today', 'time-up']), send_at: z.date() }),
)

/** Takes a vial's due warnings; of several only the last, which is answered, is worth sending. */
export async function takeWarnings(db: Db, vialId: string, now: Date): Promise<VialWarningKind | undefined> {
  const [last, ...older] = (await warningRows(db, vialId, now)).map((row) => row.kind)
  if (last === undefined) return undefined
  await db.vialWarning.update({
    where: { vialId_kind: { vialId, kind: last } },
    data: { status: 'sent', settledAt: now },
  })
  await db.vialWarning.updateMany({
    where: { vialId, kind: { in: older } },
    data: { status: 'withdrawn', settledAt: now },
  })
  return last
}

/** A dose whose vial a manager should look at. */
export interface DoubtfulDose {
  readonly doseId: string
  readonly childId: string
  readonly vaccine: string
  readonly givenOn: Day
  readonly vialNumber: number | null
  readonly flags: readonly string[]
}

/** Doses with a doubt about their vial that nobody has looked at; those without any vial are only counted. */
export async function listDoubtfulDoses(db: Db, districtId: string, limit: number): Promise<DoubtfulDose[]> {
  const rows = await db.dose.findMany({
    where: {
      districtId,
      voidedAt: null,
      vialReviewedAt: null,
      vialFlags: { isEmpty: false },
      NOT: { vialFlags: { equals: ['no-vial'] } },
    },
    include: { vial: { select: { number: true } } },
    orderBy: [{ givenOn: 'asc' }, { id: 'asc' }],
    take: limit,
  })
  return rows.map(({ id, childId, vaccine, givenOn, vial: drawnFrom, vialFlags }) => ({
    doseId: id,
    childId,
    vaccine,
    givenOn: fromDate(givenOn),
    vialNumber: drawnFrom?.number ?? null,
    flags: vialFlags,
  }))
}

/** Notes that a manager looked at a dose and its vial. */
export async function reviewDose(
  db: Db,
  review: { readonly districtId: string; readonly doseId: string; readonly by: string; readonly at: Date },
): Promise<boolean> {
  const { districtId, doseId, by, at } = review
  const { count } = await db.dose.updateMany({
    where: { id: doseId, districtId, vialReviewedAt: null },
    data: { vialReviewedAt: at, vialReviewedBy: by },
  })
  return count === 1
}

/** Doses of a span of days without a known vial, by vaccine. */
export async function countDosesWithoutVial(
  db: Db,
  districtId: string,
  from: Day,
): Promise<{ readonly vaccine: string; readonly doses: number }[]> {
  const rows = await db.dose.groupBy({
    by: ['vaccine'],
    where: { districtId, voidedAt: null, givenOn: { gte: toDate(from) }, vialFlags: { has: 'no-vial' } },
    _count: true,
    orderBy: { vaccine: 'asc' },
  })
  return rows.map(({ vaccine, _count }) => ({ vaccine, doses: _count }))
}
