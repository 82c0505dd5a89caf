import { mustBeValid } from '../../../src/core/checked-data.ts'
import {
  DISCARD_REASONS,
  parseDiscardWords,
  readDiscardReason,
} from '../../../src/core/vials/discard-reason.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'

const known = mustBeValid(parseDiscardWords(readDataFile('products/discard-words.json')))

describe('readDiscardReason', () => {
  test.each([
    ['frozen', 'frozen'],
    ['Was FROZEN in the carrier', 'frozen'],
    ['monitor dark', 'monitor'],
    ['expired', 'expired'],
    ['vencida', 'expired'],
    ['flacon cassé', 'broken'],
    ['stopper under water', 'contaminated'],
    ['jokofu limeharibika', 'cold-failure'],
    ['खाली', 'used-up'],
    ['end of day', 'session-end'],
    ['28 days', 'time-up'],
    ['مكسورة', 'broken'],
  ])('"%s" means %s', (words, reason) => {
    expect(readDiscardReason(words, known)).toBe(reason)
  })

  test('does not guess: no words, or words it does not know, give no reason', () => {
    expect(readDiscardReason('', known)).toBeUndefined()
    expect(readDiscardReason('because of you', known)).toBeUndefined()
  })

  test('every reason can be said in each of the seven languages', () => {
    const file = readDataFile('products/discard-words.json') as {
      reasons: { reason: string; words: object }[]
    }

    expect(file.reasons.map(({ reason }) => reason).sort()).toEqual([...DISCARD_REASONS].sort())
    for (const { words } of file.reasons)
      expect(Object.keys(words).sort()).toEqual(['ar', 'en', 'es', 'fr', 'hi', 'pt', 'sw'])
  })
})
