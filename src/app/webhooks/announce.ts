import type { News } from '../../core/webhooks/news.ts'
import type { District } from '../../core/model.ts'
import type { Transaction } from '../../store/database.ts'
import { insertCalls, webhooksFor } from '../../store/webhooks.ts'
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
  const happenedAt = deps.clock.now()
  const calls = webhooks.flatMap(({ id: webhookId, kinds }) =>
    news
      .filter(({ kind }) => kinds.includes(kind))
      .map((told) => ({ ...told, id: deps.newId(), webhookId, districtId: district.id, happenedAt })),
  )
  if (calls.length > 0) await insertCalls(tx, calls)
}
