import fc from 'fast-check'
import { isReadProblem, SENDERS } from '../../src/core/reading/act.ts'
import type { Act, ActName, Sender } from '../../src/core/reading/act.ts'
import { mustParseDay } from '../../src/core/days/day.ts'
import { read } from '../../src/core/reading/read.ts'
import { write } from '../../src/core/reading/write.ts'
import { arbitraryAct } from '../support/arbitrary-act.ts'
import { aContext, keywordBook, languages, vocabularyOf } from '../support/reading.ts'

const ON = '2026-11-24'
// The table has a row for every act.
const ACTS = Object.keys(SENDERS) as ActName[]
const CALENDARS = ['gregory', 'ethiopic', 'persian', 'islamic-umalqura', 'buddhist']

const language = fc.constantFrom(...languages)

function senderOf(act: ActName): Sender {
  const [sender] = SENDERS[act]
  if (sender === undefined) throw new Error(`nobody may ${act}`)
  return sender
}

const anAct = (act: ActName): fc.Arbitrary<Act> =>
  arbitraryAct(act, mustParseDay(ON), vocabularyOf({ languages: ['en'] }))

describe('write and read', () => {
  test.each(ACTS)('read(write(act)) is the act, in every language and calendar: %s', (act) => {
    fc.assert(
      fc.property(
        anAct(act),
        language,
        fc.constantFrom(...CALENDARS),
        fc.boolean(),
        (meant, of, calendar, isDayFirst) => {
          const text = write(meant, keywordBook(of))

          expect(
            read(text, aContext({ from: senderOf(act), on: ON, language: of, calendar, isDayFirst })),
          ).toEqual(meant)
        },
      ),
      { numRuns: 300 },
    )
  })

  test('three names that spell the five-in-one vaccine are read as it', () => {
    expect(read('GAVE 48217739 DTP HEPB HIB', aContext({ on: ON }))).toMatchObject({ vaccines: ['PENTA'] })
  })

  test('several acts, one a line, come back as they were', () => {
    const workers = ACTS.filter((act) => SENDERS[act].includes('vaccinator'))
    const several = fc.uniqueArray(fc.constantFrom(...workers).chain(anAct), {
      minLength: 2,
      maxLength: 4,
      selector: (act) => JSON.stringify(act),
    })
    fc.assert(
      fc.property(several, language, (acts, of) => {
        const meant = { act: 'several', acts } as Act

        expect(read(write(meant, keywordBook(of)), aContext({ on: ON, language: of }))).toEqual(meant)
      }),
      { numRuns: 1000 },
    )
  })

  const DIGITS = ['0', '٠', '۰', '०', '০', '０']
  const noise = fc.record({
    digits: fc.constantFrom(...DIGITS),
    space: fc.constantFrom(' ', '  ', '\u00a0', ' \u200b', ' \u2060'),
    isLower: fc.boolean(),
    before: fc.constantFrom('', ' ', '“', '🙏 ', 'pls ', '\u200e'),
    behind: fc.constantFrom('', ' ', '.', '!', ' pls', ' ✅', '\n--\nsent from my phone'),
  })

  test('case, digit script, spaces, pictures, quotes, "pls" and signatures change nothing', () => {
    const acts = fc.constantFrom<ActName>(
      'record-doses',
      'card-status',
      'due-list',
      'open-vial',
      'record-stock',
      'undo',
    )
    fc.assert(
      fc.property(acts.chain(anAct), noise, (meant, { digits, space, isLower, before, behind }) => {
        const plain = write(meant, keywordBook('en'))
        const zero = digits.codePointAt(0) ?? 0
        const told = plain
          .replace(/\d/g, (digit) => String.fromCodePoint(zero + Number(digit)))
          .replaceAll(' ', space)
        const text = before + (isLower && !/[a-z]/.test(plain) ? told.toLowerCase() : told) + behind

        expect(read(text, aContext({ on: ON }))).toEqual(meant)
      }),
      { numRuns: 1000 },
    )
  })
})

describe('any text at all', () => {
  const from = fc.constantFrom<Sender>('vaccinator', 'manager', 'parent')
  const scraps = [...vocabularyOf({ languages }).acts.meanings.keys()].concat(
    'OPV',
    'polio',
    'measles',
    '4821 7739',
    '48217738',
    '30951466',
    'V',
    '317',
    'yesterday',
    '23/11',
    '31/02',
    '-2',
    'monday',
    'ALL',
    'F',
    'M',
    '07700900123',
    'Mbari',
    '\n',
    '\n',
    '--',
    'thanks',
    '5,2',
    'May',
    '2027',
    'O',
    'l',
    '|',
    "'",
    '(',
    '/',
  )
  const scrappy = fc.array(fc.constantFrom(...scraps), { maxLength: 12 }).map((parts) => parts.join(' '))
  const unicode = fc.string({ unit: 'binary', maxLength: 200 })

  test('ends in an act or in a problem, and every choice offered reads as an act', () => {
    fc.assert(
      fc.property(fc.oneof(unicode, scrappy), from, language, (text, sender, of) => {
        const context = aContext({ from: sender, on: ON, language: of, languages })
        const reading = read(text, context)
        if (!isReadProblem(reading)) {
          expect(reading.act).toBeDefined()
          return
        }
        expect(reading.choices.length).toBeLessThanOrEqual(2)
        const unread = reading.choices.filter((choice) => isReadProblem(read(choice, context)))
        expect(reading.code === 'keyword-unclear' ? [] : unread).toEqual([])
      }),
      { numRuns: 10_000 },
    )
  }, 120_000)

  test('is read the same a second time', () => {
    fc.assert(
      fc.property(fc.oneof(unicode, scrappy), from, (text, sender) => {
        const context = aContext({ from: sender, on: ON, languages })

        expect(read(text, context)).toEqual(read(text, context))
      }),
      { numRuns: 500 },
    )
  })
})
