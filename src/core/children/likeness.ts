import { distance } from 'fastest-levenshtein'

/** Whether two records may be of one child: the question asked before a new record is opened. */

export interface Likeness {
  readonly name: string
  readonly sex: 'female' | 'male' | null
  /** Numbers of the caregivers. */
  readonly numbers: readonly string[]
}

/** A letter in four may differ: Fatuma and Fatma, Njeri and Njery. */
const MAX_DIFFERENCE = 0.25

function letters(name: string): string {
  return name
    .normalize('NFD')
    .replace(/[^\p{L}\p{N}]/gu, '')
    .toLocaleLowerCase('en')
}

function isLikeName(one: string, other: string): boolean {
  const [a, b] = [letters(one), letters(other)]
  return distance(a, b) <= MAX_DIFFERENCE * Math.max(a.length, b.length)
}

/**
 * For two children born on the same day. Names alike, or one phone and nothing that speaks against it:
 * twins share phone and day but not the name, so a different sex or quite another name keeps them apart.
 */
export function mayBeSameChild(one: Likeness, other: Likeness): boolean {
  if (one.sex !== null && other.sex !== null && one.sex !== other.sex) return false
  return isLikeName(one.name, other.name)
}
