/** How alike two names are, whatever script, spelling and order of words they were written in. */
import anyAscii from 'any-ascii'
import { doubleMetaphone } from 'double-metaphone'
import { distance } from 'fastest-levenshtein'

export interface NameLikeness {
  /** From 0 (nothing in common) to 1 (the same letters). */
  readonly likeness: number
  /** One name has words that the other lacks: `Asha` and `Asha Temba`. */
  readonly isPart: boolean
  /** The words stand in another order. */
  readonly isSwapped: boolean
}

/** The words of a name in plain letters: `Ngũgĩ wa Thiong’o` becomes `ngugi`, `wa`, `thiongo`. */
export function nameWords(name: string): readonly string[] {
  return anyAscii(name.normalize('NFKC'))
    .toLowerCase()
    .replace(/['`’.-]/g, '')
    .split(/[^a-z0-9]+/)
    .filter((word) => word !== '')
}

/** Two words that sound the same are at least this alike, so that a spelling by ear is found. */
const SAME_SOUND = 0.65
/** Sounds are compared only of words that also share letters: to an ear, b is p. */
const SOME_LETTERS = 0.25
/** An initial says little, but it fits. */
const INITIAL = 0.8
/** Sounds of one or two letters are shared by too many names. */
const TELLING_SOUND = 2
/** Where one word is of another name altogether, the rest is a family's name and says no more than this. */
const OTHER_WORD = 0.6
/** Each word that only one of the names has makes the likeness this much less. */
const MISSING_WORD = 0.03

/** Compares two names word by word, each word with the one it fits best. */
export function nameLikeness(one: string, other: string): NameLikeness {
  const [few, many] = [nameWords(one), nameWords(other)].sort(shorterFirst)
  if (few === undefined || many === undefined || few.length === 0) return NOTHING
  const whole = wordLikeness(few.join(''), many.join(''))
  const pairs = bestPairs(few, many)
  const letters = few.join('').length
  const mean =
    pairs.reduce((sum, { place, likeness }) => sum + likeness * (few[place]?.length ?? 0), 0) / letters
  const isOther = pairs.some(({ likeness }) => likeness < OTHER_WORD)
  const missing = many.length - few.length
  const byWords = (isOther ? Math.min(mean, OTHER_WORD) : mean) - missing * MISSING_WORD
  return {
    likeness: Math.max(0, byWords, missing > 0 || few.length === 1 ? whole : 0),
    isPart: missing > 0 && byWords >= whole,
    isSwapped: pairs.some(({ place, match }) => match !== place && few.length === many.length),
  }
}

/** Of two equally long ones always the same comes first, so that a comparison is the same from either side. */
function shorterFirst(one: readonly string[], other: readonly string[]): number {
  return one.length - other.length || (one.join(' ') < other.join(' ') ? -1 : 1)
}

const NOTHING: NameLikeness = { likeness: 0, isPart: false, isSwapped: false }

interface WordPair {
  readonly place: number
  readonly match: number
  readonly likeness: number
}

/** Each word of the shorter name with a word of its own, the likest pairs first. */
function bestPairs(few: readonly string[], many: readonly string[]): readonly WordPair[] {
  const all = few.flatMap((word, place) =>
    many.map((against, match) => ({ place, match, likeness: wordLikeness(word, against) })),
  )
  // Of pairs equally alike those in their own order come first, so that equal names are not called swapped.
  all.sort((a, b) => b.likeness - a.likeness || Math.abs(a.place - a.match) - Math.abs(b.place - b.match))
  const pairs: WordPair[] = []
  for (const pair of all) {
    if (!pairs.some(({ place, match }) => place === pair.place || match === pair.match)) pairs.push(pair)
  }
  return pairs
}

function wordLikeness(one: string, other: string): number {
  if (one === other) return 1
  if (one.length === 1 || other.length === 1)
    return one.startsWith(other) || other.startsWith(one) ? INITIAL : 0
  const spelling = 1 - distance(one, other) / Math.max(one.length, other.length)
  return spelling >= SOME_LETTERS && isSameSound(one, other)
    ? SAME_SOUND + (1 - SAME_SOUND) * spelling
    : spelling
}

function isSameSound(one: string, other: string): boolean {
  const sounds = soundsOf(one)
  if (soundsOf(other).some((sound) => sounds.includes(sound))) return true
  const bones = consonantsOf(one)
  const isTelling = bones.length >= TELLING_SOUND || isUnvowelled(one) || isUnvowelled(other)
  return isTelling && bones === consonantsOf(other)
}

/** The two readings of a word by Double Metaphone (L. Philips, C/C++ Users Journal, June 2000). */
function soundsOf(word: string): readonly string[] {
  return doubleMetaphone(word).filter((sound) => sound.length >= TELLING_SOUND)
}

/** Scripts such as the Arabic write few vowels: what `mhmd` and `Muhammad` share is their consonants. */
function consonantsOf(word: string): string {
  return word
    .replace(/[aeiouwy]/g, '')
    .replace(/(.)\1+/g, '$1')
    .replace(/(?<=.)h$/, '')
}

function isUnvowelled(word: string): boolean {
  return !/[aeiou]/.test(word)
}
