import { distance } from 'fastest-levenshtein'
import {
  isOneSlip,
  isSwap,
  isTypingSlip,
  matchPhrase,
  nearMeanings,
  phraseTable,
} from '../../../src/core/reading/phrase-table.ts'
import { tokensOf } from '../../../src/core/reading/token.ts'

const WORDS = [
  'GAVE',
  'GVAE',
  'GAV',
  'GAVES',
  'GIVE',
  'SAVE',
  'AGVE',
  'OPV',
  'IPV',
  'BOPV',
  'OVP',
  'EVAG',
  'A',
  '',
]

describe('isOneSlip', () => {
  test('is a distance of one by a second implementation, or a swap of neighbours', () => {
    const pairs = WORDS.flatMap((a) => WORDS.map((b): [string, string] => [a, b]))

    expect(pairs.filter(([a, b]) => isOneSlip(a, b) !== (distance(a, b) === 1 || isSwap(a, b)))).toEqual([])
  })

  test.each([
    ['GVAE', 'GAVE', true],
    ['VGAE', 'GAVE', false],
    ['GAVE', 'GAVE', false],
  ])('a swap in %s for %s: %p', (typed, word, expected) => {
    expect(isSwap(typed, word)).toBe(expected)
  })
})

describe('isTypingSlip', () => {
  test.each([
    ['PNETA', 'PENTA', true],
    ['PENNTA', 'PENTA', true],
    ['PENTAA', 'PENTA', true],
    ['PENDA', 'PENTA', false],
    ['PENT', 'PENTA', false],
    ['SPENTA', 'PENTA', false],
  ])('%s for %s: %p', (typed, word, expected) => {
    expect(isTypingSlip(typed, word)).toBe(expected)
  })
})

describe('matchPhrase', () => {
  const table = phraseTable([
    ['polio', 'any'],
    ['polio drops', 'oral'],
    ['más tarde', 'later'],
    ['shared', 'one'],
    ['shared', 'other'],
  ])

  test.each([
    ['polio drops', 'oral', 2],
    ['Polio, drops', 'oral', 2],
    ['poliodrops', 'oral', 1],
    ['polio shot', 'any', 1],
    ['MAS TARDE', 'later', 2],
  ])('finds the longest phrase in %p', (text, meaning, length) => {
    expect(matchPhrase(table, tokensOf(text), 0)).toEqual({ meanings: [meaning], length })
  })

  test('has all meanings of a shared phrase', () => {
    expect(matchPhrase(table, tokensOf('shared'), 0)?.meanings).toEqual(['one', 'other'])
  })

  test('finds no phrase whose words do not stand side by side', () => {
    const [polio, , drops] = tokensOf('polio and drops')

    expect(
      matchPhrase(
        table,
        [polio, drops].filter((token) => token !== undefined),
        0,
      )?.length,
    ).toBe(1)
    expect(matchPhrase(table, tokensOf('drops'), 0)).toBeUndefined()
  })

  test('nearMeanings finds what is one slip away', () => {
    expect(nearMeanings(table, 'SHRAED')).toEqual(['one', 'other'])
    expect(nearMeanings(table, 'SHARD')).toEqual(['one', 'other'])
    expect(nearMeanings(table, 'SHAR')).toEqual([])
    expect(nearMeanings(table, 'SHARED')).toEqual([])
    expect(nearMeanings(table, 'POLI')).toEqual(['any'])
  })
})
