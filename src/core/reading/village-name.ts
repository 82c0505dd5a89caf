import { distance } from 'fastest-levenshtein'
import { wordKey } from './clean-text.ts'
import { isOneSlip } from './phrase-table.ts'

/** What a typed name of a village means. */
export type VillageReading =
  | { readonly kind: 'village'; readonly name: string }
  /** The most alike names, best first. */
  | { readonly kind: 'unknown'; readonly alike: readonly string[] }

const keyOf = (name: string): string => wordKey(name).replace(/[^\p{L}\p{M}\p{N}]/gu, '')

/**
 * Finds a village by its name, spaces and accents aside; one slip is forgiven where no other name is as near.
 * @example findVillage('mabri', ['Mbari', 'Kilima Juu']) // { kind: 'village', name: 'Mbari' }
 */
export function findVillage(typed: string, villages: readonly string[]): VillageReading {
  const key = keyOf(typed)
  const exact = villages.find((name) => keyOf(name) === key)
  if (exact !== undefined) return { kind: 'village', name: exact }
  const [near, other] = key.length > 3 ? villages.filter((name) => isOneSlip(key, keyOf(name))) : []
  if (near !== undefined && other === undefined) return { kind: 'village', name: near }
  return { kind: 'unknown', alike: alikeNames(key, villages) }
}

/** Names of which at least half the letters agree. */
function alikeNames(key: string, villages: readonly string[]): string[] {
  return villages
    .map((name) => ({ name, apart: distance(key, keyOf(name)) }))
    .filter(({ apart, name }) => apart * 2 <= Math.max(key.length, name.length))
    .sort((a, b) => a.apart - b.apart)
    .map(({ name }) => name)
}
