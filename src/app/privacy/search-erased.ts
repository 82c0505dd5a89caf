import { tellsOf } from '../../core/children/tells-of.ts'
import type { Transaction } from '../../store/database.ts'
import { eraseTexts } from '../../store/erasure.ts'
import {
  forgetAnswers,
  moveErasureSearch,
  nextAnswers,
  nextToSearch,
  takeErasureSearch,
} from '../../store/erasure-searches.ts'
import type { ErasureSearch } from '../../store/erasure-searches.ts'
import { answersTo, goOnAfter } from '../../store/held.ts'
import type { Deps } from '../deps.ts'

/**
 * Opens what was kept while erased children were on record, and empties what tells of them; answers how many texts. Each
 * batch is a transaction of its own and keeps how far it came: stopped halfway, the next call goes on there. Any number
 * of processes may search at once.
 */
export async function searchErased(deps: Deps): Promise<number> {
  let emptied = 0
  for (;;) {
    const batch = await deps.database.transaction((tx) => searchBatch(tx, deps))
    if (batch === undefined) return emptied
    emptied += batch
  }
}

/** Undefined: nothing is left to search. */
async function searchBatch(tx: Transaction, deps: Deps): Promise<number | undefined> {
  const search = await takeErasureSearch(tx)
  if (search === undefined) return undefined
  if (search.stage === 'answers') return searchAnswers(tx, search)
  const rows = await nextToSearch[search.stage](tx, search)
  const telling = rows.filter(({ body }) => tellsOf(body, search.marks)).map(({ id }) => id)
  const texts =
    search.stage === 'texts-in'
      ? { in: telling, out: await answersTo(tx, telling) }
      : { in: [], out: telling }
  await eraseTexts(tx, texts, deps.clock.now())
  await moveErasureSearch(tx, search, goOnAfter(rows))
  return texts.in.length + texts.out.length
}

async function searchAnswers(tx: Transaction, search: ErasureSearch): Promise<number> {
  const { rows, after } = await nextAnswers(tx, search)
  const telling = rows.filter(({ body }) => {
    const text = JSON.stringify(body)
    return search.marks.ids.some((id) => text.includes(id))
  })
  await forgetAnswers(tx, telling)
  await moveErasureSearch(tx, search, after)
  return 0
}
