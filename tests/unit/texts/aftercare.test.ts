import { sayAftercare } from '../../../src/core/texts/aftercare.ts'
import type { AftercareCause } from '../../../src/core/texts/aftercare.ts'
import { labelChild } from '../../../src/core/texts/child-label.ts'
import type { PhraseBook } from '../../../src/core/texts/phrases.ts'
import { measure } from '../../../src/core/texts/segments.ts'
import { readPhraseBooks } from '../../../src/main/phrase-books.ts'

const books = readPhraseBooks()
const [english] = [...books.values()].filter(({ language }) => language === 'en')

function after(causes: readonly AftercareCause[], book: PhraseBook | undefined = english): string {
  if (book === undefined) throw new Error('no English phrase book')
  return sayAftercare(book, {
    post: 'Mbari post',
    child: 'Asha',
    count: 1,
    causes: new Set(causes),
    next: { day: 'Tue 24 Nov', place: 'Mbari' },
  })
}

describe('sayAftercare (requirement AEF-05)', () => {
  test('tells of the bump after an intradermal dose, and to leave it alone', () => {
    const text = after(['intradermal', 'drops'])

    expect(text).toContain('small bump')
    expect(text).toContain('no rubbing, compress or medicine on it')
    expect(text).not.toContain('small sore')
  })

  test('tells of the sore after BCG', () => {
    expect(after(['bcg'])).toContain('A small sore may come later and heal by itself')
    expect(after(['bcg'])).not.toContain('bump')
  })

  test('tells of fever and soreness after an injection, and of no care after drops alone', () => {
    expect(after(['injection'])).toContain('Mild fever or a sore limb for 1-2 days is normal.')
    expect(after(['drops'])).toContain('Drops in the mouth need no care.')
    expect(after(['injection', 'drops'])).not.toContain('Drops')
  })

  test.each([['injection'], ['intradermal'], ['bcg'], ['drops']] as const)(
    'sends for any other reaction to the health centre, and at once where it is urgent, after %s',
    (cause) => {
      const text = after([cause])

      expect(text).toContain('For any other reaction, or fever after 2 days, go to the health centre.')
      expect(text).toContain('Go now: fits, trouble breathing')
      expect(text.endsWith('Next: Tue 24 Nov at Mbari. Each visit makes protection stronger.')).toBe(true)
    },
  )

  test.each([...books.values()].map((book) => [book.language, book] as const))(
    'takes at most 3 parts of GSM-7 or 6 of UCS-2 in %s after injection, fractional dose and drops',
    (_, book) => {
      const { alphabet, parts } = measure(after(['injection', 'intradermal', 'drops'], book))

      expect(parts).toBeLessThanOrEqual(alphabet === 'gsm7' ? 3 : 6)
    },
  )
})

describe('labelChild', () => {
  test.each([
    ['Asha Temba', 'initials', 'A.T.'],
    ['Asha Temba', 'first-name', 'Asha'],
    ['  Asha   Wanjiru Temba ', 'initials', 'A.W.T.'],
    ['Maximilianaterese Temba', 'first-name', 'Maximilianat'],
    ['क्षमा देवी', 'initials', 'क्ष.दे.'],
  ] as const)('calls %j by %s %j', (name, naming, label) => {
    expect(labelChild(name, naming)).toBe(label)
  })
})
