import type { News } from '../../core/webhooks/news.ts'
import type { District } from '../../core/model.ts'
import type { Transaction } from '../../store/database.ts'
import { insertCalls, webhooksFor } from '../../store/webhooks.ts'
import { getChildren } from '../../store/children.ts'
import type { Deps } from '../deps.ts'

/** Something that happened just now. */
export type Told = Omit<News, 'districtId' | 'happenedAt'>

/** Notes, in the transaction of what happened, whom to tell of it; the calls are made afterwards, by the sweeps. */
export async function announce(
  tx: Transaction,
  deps: Pick<Deps, 'newId' | 'clock'>,
  district: Pick<District, 'id' | 'isTraining'>,
  news: readonly Told[],
): Promise<void> {
  if (news.length === 0) return
  const webhooks = await webhooksFor(tx, district)
  if (webhooks.length === 0) return
  const shared = await thoseShared(tx, news)
  const happenedAt = deps.clock.now()
  const calls = webhooks.flatMap(({ id: webhookId, kinds }) =>
    shared
      .filter(({ kind }) => kinds.includes(kind))
      .map((told) => ({ ...told, id: deps.newId(), webhookId, districtId: district.id, happenedAt })),
  )
  if (calls.length > 0) await insertCalls(tx, calls)
}

/** A family that bars sharing is told of to nobody. */
async function thoseShared(tx: Transaction, news: readonly Told[]): Promise<readonly Told[]> {
  const children = await getChildren(tx, [...new Set(news.map(({ childId }) => childId))])
  const barred = new Set(children.filter(({ isSharingBarred }) => isSharingBarred).map(({ id }) => id))
  return news.filter(({ childId }) => !barred.has(childId))
}
