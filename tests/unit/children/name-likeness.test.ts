import fc from 'fast-check'
import { nameLikeness, nameWords } from '../../../src/core/children/name-likeness.ts'

test.each([
  ['a letter changed', 'Wanjiru', 'Wanjiro'],
  ['a letter left out', 'Fatuma', 'Fatma'],
  ['letters doubled', 'Hassan', 'Hasan'],
  ['spelt by ear', 'Ousmane', 'Usman'],
  ['accents', 'Ngũgĩ', 'Ngugi'],
  ['Arabic letters', 'محمد', 'Muhammad'],
  ['Arabic letters with another ending', 'فاطمه', 'Fatima'],
  ['Devanagari letters', 'खदीजा', 'Khadija'],
  ['Ethiopic letters', 'ሰላም', 'Selam'],
  ['Cyrillic letters', 'Шамиль', 'Shamil'],
  ['hyphens and apostrophes', "N'Dour", 'Ndour'],
])('names that differ by %s are alike', (_, one, other) => {
  expect(nameLikeness(one, other).likeness).toBeGreaterThanOrEqual(0.78)
})

test.each([
  ['Grace', 'Gloria'],
  ['Otieno Juma', 'Wanjiru Juma'],
  ['Asha Temba', 'Asha Said'],
  ['Ali', 'Omar'],
])('%s and %s are not alike', (one, other) => {
  expect(nameLikeness(one, other).likeness).toBeLessThan(0.75)
})

test('words in another order are the same name, and it is said', () => {
  expect(nameLikeness('Asha Temba', 'Temba Asha')).toEqual({ likeness: 1, isPart: false, isSwapped: true })
})

test('a name with a word left out is like the whole one, in part', () => {
  expect(nameLikeness('Asha', 'Asha Temba')).toEqual({ likeness: 0.97, isPart: true, isSwapped: false })
})

test('likeness is between 0 and 1, the same from either side, and 1 for a name with itself', () => {
  const name = fc.string({ unit: 'grapheme', maxLength: 20 })
  fc.assert(
    fc.property(name, name, (one, other) => {
      const { likeness } = nameLikeness(one, other)
      expect(likeness).toBeGreaterThanOrEqual(0)
      expect(likeness).toBeLessThanOrEqual(1)
      expect(nameLikeness(other, one).likeness).toBeCloseTo(likeness, 12)
      expect(nameLikeness(one, one).likeness).toBe(nameWords(one).length === 0 ? 0 : 1)
    }),
  )
})
