import type { Resource } from '../../core/exchange/resource.ts'
import type { News } from '../../core/webhooks/news.ts'
import type { Db } from '../../store/database.ts'
import type { Deps } from '../deps.ts'
import { findAdverseEvents, findImmunizations, findPatients } from '../exchange/find-resources.ts'

/** The record a piece of news is about, as it stands now; a missed visit is told with its child. */
export async function resourceOfNews(db: Db, deps: Deps, news: News): Promise<Resource | null> {
  const wish = { districtId: null, limit: 1 }
  const found = await (() => {
    const ids = news.subjectId === null ? [] : [news.subjectId]
    if (news.kind === 'dose') return findImmunizations(db, deps, { ...wish, ids })
    if (news.kind === 'reaction') return findAdverseEvents(db, { ...wish, ids })
    return findPatients(db, { ...wish, ids: [news.childId] })
  })()
  return found.resources[0] ?? null
}
