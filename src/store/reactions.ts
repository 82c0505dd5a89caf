import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import { formatDay } from '../core/days/day.ts'
import type { ReactionRoute } from '../core/reactions/assess-reaction.ts'
import type { PastReaction } from '../core/reactions/past-reaction.ts'
import type { Reaction } from '../core/reactions/reaction.ts'
import type { Reaction as ReactionRow } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { dayColumn, fromDate, toDate } from './days.ts'
import { statement } from './statements.ts'

const factsShape = z.record(z.string(), z.string())

function reaction(row: ReactionRow): Reaction {
  return {
    id: row.id,
    districtId: row.districtId,
    childId: row.childId,
    postId: row.postId,
    reactionOn: fromDate(row.reactionOn),
    reportedAt: row.reportedAt,
    reportedBy: row.reportedBy,
    words: row.words,
    signs: row.signs,
    outcomes: row.outcomes,
    isSerious: row.isSerious,
    // The table's check allows only these values.
    route: row.route as ReactionRoute,
    doseIds: row.doseIds,
    facts: factsShape.parse(row.facts),
  }
}

export interface NewReaction extends Omit<Reaction, 'facts'> {
  readonly reportedVia: string
  readonly textInId: string | null
}

export async function insertReaction(db: Db, given: NewReaction): Promise<Reaction> {
  const { reactionOn, signs, outcomes, doseIds, ...rest } = given
  return reaction(
    await db.reaction.create({
      data: {
        ...rest,
        reactionOn: toDate(reactionOn),
        signs: [...signs],
        outcomes: [...outcomes],
        doseIds: [...doseIds],
      },
    }),
  )
}

export async function findReaction(db: Db, id: string): Promise<Reaction | undefined> {
  const row = await db.reaction.findUnique({ where: { id, voidedAt: null } })
  return row === null ? undefined : reaction(row)
}

/** Reports of a district, newest first. */
export async function listReactions(db: Db, districtId: string, limit: number): Promise<Reaction[]> {
  const rows = await db.reaction.findMany({
    where: { districtId, voidedAt: null },
    orderBy: [{ reportedAt: 'desc' }, { id: 'desc' }],
    take: limit,
  })
  return rows.map(reaction)
}

/** Reports since an instant. */
export async function countReactionsSince(db: Db, districtId: string, since: Date): Promise<number> {
  return db.reaction.count({ where: { districtId, voidedAt: null, reportedAt: { gte: since } } })
}

export async function putReactionFacts(
  db: Db,
  id: string,
  facts: Readonly<Record<string, string>>,
): Promise<void> {
  await db.reaction.update({ where: { id }, data: { facts: { ...facts } } })
}

/** A report that was a slip; its alert stands until someone has looked. */
export async function voidReaction(db: Db, id: string, at: Date): Promise<void> {
  await db.reaction.update({ where: { id }, data: { voidedAt: at } })
}

const pastRows = statement(
  'list-past-reactions',
  z.object({
    child_id: z.string(),
    reaction_on: dayColumn,
    is_serious: z.boolean(),
    signs: z.array(z.string()),
    vaccines: z.array(z.string()),
  }),
)

/** The reactions on record of some children, by child. */
export async function pastReactionsOf(
  db: Db,
  childIds: readonly string[],
): Promise<ReadonlyMap<string, readonly PastReaction[]>> {
  const past = new Map<string, PastReaction[]>()
  for (const row of await pastRows(db, [...childIds])) {
    const { child_id, reaction_on, is_serious, signs, vaccines } = row
    const one = { reactionOn: reaction_on, isSerious: is_serious, signs, vaccines }
    past.set(child_id, [...(past.get(child_id) ?? []), one])
  }
  return past
}

const clusterRows = statement(
  'list-cluster-facts',
  z.object({
    id: z.string(),
    vial: z.string().nullable(),
    lot: z.string().nullable(),
    post: z.string().nullable(),
    reaction_on: dayColumn,
    signs: z.array(z.string()),
    is_serious: z.boolean(),
  }),
)

/** A report with one of the vials before it. */
export interface ReportWithVial {
  readonly id: string
  readonly vial: string | null
  readonly lot: string | null
  readonly post: string | null
  readonly reactionOn: Day
  readonly signs: readonly string[]
  readonly isSerious: boolean
}

export async function listReportsWithVials(
  db: Db,
  districtId: string,
  since: Date,
): Promise<ReportWithVial[]> {
  const rows = await clusterRows(db, districtId, since)
  return rows.map(({ reaction_on, is_serious, ...rest }) => ({
    ...rest,
    reactionOn: reaction_on,
    isSerious: is_serious,
  }))
}

const countRows = statement(
  'count-reactions-by-vaccination',
  z.object({ vaccine: z.string(), is_serious: z.boolean(), reports: z.int() }),
)

/** Reports by the day of the vaccination before them: a count, by vaccine and weight (WHO indicator I44). */
export async function countReactionsByVaccination(
  db: Db,
  { districtId, from, to }: { readonly districtId: string; readonly from: Day; readonly to: Day },
): Promise<{ readonly vaccine: string; readonly isSerious: boolean; readonly reports: number }[]> {
  const rows = await countRows(db, districtId, formatDay(from), formatDay(to))
  return rows.map(({ vaccine, is_serious, reports }) => ({ vaccine, isSerious: is_serious, reports }))
}
