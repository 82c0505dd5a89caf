/** Health posts as they are set by hand, and what a national list says otherwise. */
import type { HealthPost } from '../core/model.ts'
import type { PostDifference } from '../core/places/facility-list.ts'
import type { PostDifference as DifferenceRow } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'
import { toDate } from './days.ts'

/** What can be set of a post by hand. */
export type PostSetting = Pick<HealthPost, 'name' | 'nationalId' | 'kind' | 'untilOn'>

export async function insertPost(
  db: Db,
  { id, districtId, untilOn, ...facts }: PostSetting & { readonly id: string; readonly districtId: string },
): Promise<void> {
  const data = { id, districtId, ...facts, untilOn: untilOn === null ? null : toDate(untilOn) }
  await db.healthPost.create({ data })
}

export async function changePost(db: Db, id: string, { untilOn, ...facts }: PostSetting): Promise<void> {
  const data = { ...facts, untilOn: untilOn === null ? null : toDate(untilOn) }
  await db.healthPost.update({ where: { id }, data })
}

/** How many villages a post serves and vaccinators work at it, by post. */
export async function countAtPosts(
  db: Db,
  districtId: string,
): Promise<ReadonlyMap<string, { readonly villages: number; readonly vaccinators: number }>> {
  const rows = await db.healthPost.findMany({
    where: { districtId },
    select: {
      id: true,
      _count: {
        select: { villages: true, people: { where: { role: 'vaccinator', isActive: true } } },
      },
    },
  })
  return new Map(
    rows.map(({ id, _count }) => [id, { villages: _count.villages, vaccinators: _count.people }]),
  )
}

/** A difference that is kept until a person decides. */
export type KeptDifference = PostDifference & { readonly id: string; readonly districtId: string }

/** The table's checks pair each kind with what it has. */
function difference({ id, districtId, kind, nationalId, listedName, postId }: DifferenceRow): KeptDifference {
  return { id, districtId, kind, nationalId, name: listedName, postId } as KeptDifference
}

/**
 * Lets go of what a newer list of the district no longer says, and of what was taken over before and is said again:
 * only what was declined is never asked again.
 */
export async function dropOutdated(
  db: Db,
  districtId: string,
  found: readonly PostDifference[],
): Promise<void> {
  const keyOf = ({ kind, nationalId, name, postId }: PostDifference): string =>
    JSON.stringify([kind, nationalId, name, postId])
  const said = new Set(found.map(keyOf))
  const rows = await db.postDifference.findMany({
    where: { districtId, OR: [{ decidedAt: null }, { isAccepted: true }] },
  })
  const outdated = rows.filter((row) => (row.decidedAt === null) !== said.has(keyOf(difference(row))))
  await db.postDifference.deleteMany({ where: { id: { in: outdated.map(({ id }) => id) } } })
}

/** Keeps differences that were not found before; answers how many they are. */
export async function keepDifferences(
  db: Db,
  found: readonly (KeptDifference & { readonly foundAt: Date })[],
): Promise<number> {
  const data = found.map(({ name, ...rest }) => ({ ...rest, listedName: name }))
  return (await db.postDifference.createMany({ data, skipDuplicates: true })).count
}

/** What waits for a decision, the oldest first. */
export async function openDifferences(db: Db, districtId: string): Promise<KeptDifference[]> {
  const rows = await db.postDifference.findMany({
    where: { districtId, decidedAt: null },
    orderBy: [{ foundAt: 'asc' }, { id: 'asc' }],
  })
  return rows.map(difference)
}

export async function findDifference(db: Db, id: string): Promise<KeptDifference | undefined> {
  const row = await db.postDifference.findUnique({ where: { id } })
  return row === null ? undefined : difference(row)
}

/** Marks a difference as decided; false when it was before. */
export async function decideDifference(
  db: Db,
  id: string,
  decision: { readonly isAccepted: boolean; readonly by: string; readonly at: Date },
): Promise<boolean> {
  const { isAccepted, by: decidedBy, at: decidedAt } = decision
  const { count } = await db.postDifference.updateMany({
    where: { id, decidedAt: null },
    data: { isAccepted, decidedBy, decidedAt },
  })
  return count === 1
}
