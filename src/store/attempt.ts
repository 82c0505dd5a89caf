import { z } from 'zod'
import { Refusal } from '../core/refusals.ts'
import type { Transaction } from './database.ts'
import { statement } from './statements.ts'

const nothing = z.never()
const begin = statement('begin-attempt', nothing)
const keep = statement('keep-attempt', nothing)
const undo = statement('undo-attempt', nothing)

export type Attempted<T> =
  { readonly kind: 'done'; readonly value: T } | { readonly kind: 'refused'; readonly refusal: Refusal }

/**
 * Does a part of a transaction that may be refused: the refusal is handed back as a value, and what the part wrote
 * before it is gone while the rest of the transaction stands. Parts do not nest.
 */
export async function attempt<T>(tx: Transaction, work: () => Promise<T>): Promise<Attempted<T>> {
  await begin(tx)
  try {
    const value = await work()
    await keep(tx)
    return { kind: 'done', value }
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    await undo(tx)
    return { kind: 'refused', refusal: error }
  }
}

/** Does a part of a transaction to see what would come of it: nothing that it writes stays. Parts do not nest. */
export async function tryOut<T>(tx: Transaction, work: () => Promise<T>): Promise<Attempted<T>> {
  await begin(tx)
  try {
    return { kind: 'done', value: await work() }
  } catch (error) {
    if (error instanceof Refusal) return { kind: 'refused', refusal: error }
    throw error
  } finally {
    await undo(tx)
  }
}
