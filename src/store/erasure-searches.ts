/** Searches, batch by batch, for texts and kept answers that tell of an erased child. */
import { z } from 'zod'
import type { Marks } from '../core/children/tells-of.ts'
import type { Db, Transaction } from './database.ts'
import { nextTextsIn, nextTextsOut } from './held.ts'
import type { TextSearch } from './held.ts'
import { statement } from './statements.ts'

const stages = ['texts-in', 'texts-out', 'answers'] as const
type Stage = (typeof stages)[number]

const marksShape = z.object({
  cards: z.array(z.string()),
  names: z.array(z.string()),
  ids: z.array(z.string()),
})

export interface ErasureSearch extends TextSearch {
  readonly id: string
  /** Also the identifiers of its records, which kept answers hold. */
  readonly marks: Marks & { readonly ids: readonly string[] }
  readonly askedAt: Date
  readonly stage: Stage
  /** The last row that was looked at. */
  readonly after: string | null
}

export async function insertErasureSearch(
  db: Db,
  given: Omit<ErasureSearch, 'stage' | 'after'>,
): Promise<void> {
  const { marks, districtIds, ...rest } = given
  const { cards, names, ids } = marks
  await db.erasureSearch.create({
    data: {
      ...rest,
      districtIds: [...districtIds],
      marks: { cards: [...cards], names: [...names], ids: [...ids] },
    },
  })
}

const take = statement('take-erasure-search', z.object({ id: z.string() }))

/** A search that nobody else has under way, held for the rest of the transaction. */
export async function takeErasureSearch(tx: Transaction): Promise<ErasureSearch | undefined> {
  const [taken] = await take(tx)
  if (taken === undefined) return undefined
  const row = await tx.erasureSearch.findUniqueOrThrow({ where: { id: taken.id } })
  // The table's check allows only these stages.
  return { ...row, marks: marksShape.parse(row.marks), stage: row.stage as Stage }
}

/** Keeps how far a search is: after a row, or, where none is left, at the start of its next stage or at its end. */
export async function moveErasureSearch(
  tx: Transaction,
  { id, stage }: ErasureSearch,
  after: string | undefined,
): Promise<void> {
  const next = after === undefined ? stages[stages.indexOf(stage) + 1] : stage
  if (next === undefined) await tx.erasureSearch.delete({ where: { id } })
  else await tx.erasureSearch.update({ where: { id }, data: { stage: next, after: after ?? null } })
}

/** The next texts of a search that still have words. */
export const nextToSearch = {
  'texts-in': (tx: Transaction, search: ErasureSearch) => nextTextsIn(tx, search, search.after),
  'texts-out': (tx: Transaction, search: ErasureSearch) => nextTextsOut(tx, search, search.after),
}

const ANSWERS = 200

interface AnswerKey {
  readonly tokenId: string
  readonly key: string
}
const answerKey = z.object({ tokenId: z.string(), key: z.string() })

/** The next answers kept for callers who ask twice, with the mark to go on after. */
export async function nextAnswers(tx: Transaction, { since, after }: ErasureSearch) {
  const last = after === null ? undefined : answerKey.parse(JSON.parse(after))
  const rows = await tx.idempotencyKey.findMany({
    where: {
      createdAt: { gte: since },
      ...(last === undefined
        ? {}
        : { OR: [{ tokenId: { gt: last.tokenId } }, { tokenId: last.tokenId, key: { gt: last.key } }] }),
    },
    orderBy: [{ tokenId: 'asc' }, { key: 'asc' }],
    take: ANSWERS,
  })
  const end = rows.length < ANSWERS ? undefined : rows.at(-1)
  return {
    rows,
    after: end === undefined ? undefined : JSON.stringify({ tokenId: end.tokenId, key: end.key }),
  }
}

export async function forgetAnswers(tx: Transaction, keys: readonly AnswerKey[]): Promise<void> {
  for (const { tokenId, key } of keys)
    await tx.idempotencyKey.delete({ where: { tokenId_key: { tokenId, key } } })
}
