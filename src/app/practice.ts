import { listTrainingDistricts } from '../store/districts.ts'
import { followText } from '../store/reminders.ts'
import { handOverTexts } from '../store/texts-under-way.ts'
import { settleTextOut } from '../store/texts.ts'
import type { Deps } from './deps.ts'

/** Stands where a gateway's name stands, for what was written on the practice page and what went to it. */
export const PRACTICE = 'practice'

/** Which districts are there to practise in; asked once, at the first call. */
export function practiceDistricts({ database }: Pick<Deps, 'database'>): () => Promise<ReadonlySet<string>> {
  let asked: Promise<ReadonlySet<string>> | undefined
  return () => (asked ??= listTrainingDistricts(database.db).then((ids) => new Set(ids)))
}

/** Lets a text of a training district arrive, in the tables alone: no gateway sees it. */
export async function arriveInPractice(deps: Deps, textOutId: string): Promise<void> {
  const at = deps.clock.now()
  await deps.database.transaction(async (tx) => {
    await handOverTexts(tx, [{ id: textOutId, providerIds: [] }], { gateway: PRACTICE, at })
    await settleTextOut(tx, textOutId, { status: 'delivered', reason: PRACTICE, at })
    await followText(tx, textOutId, { status: 'delivered', reason: PRACTICE }, at)
  })
}
