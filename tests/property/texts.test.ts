import fc from 'fast-check'
import {
  countSeptets,
  DEFAULT_CODEC,
  decodeGsm7,
  encodeGsm7,
  NATIONAL_CODECS,
} from '../../src/core/texts/gsm7.ts'
import type { Codec } from '../../src/core/texts/gsm7.ts'
import { NATIONAL_TABLES } from '../../src/core/texts/national-tables.ts'
import type { NationalLanguage } from '../../src/core/texts/national-tables.ts'
import { measure, segments } from '../../src/core/texts/segments.ts'
import type { Route } from '../../src/core/texts/segments.ts'
import { packScreen, packSeptets, unpackScreen, unpackSeptets } from '../../src/core/texts/septets.ts'
import { tidy } from '../../src/core/texts/tidy.ts'

const RUNS = { numRuns: 1000 }

const LANGUAGES = Object.keys(NATIONAL_TABLES) as NationalLanguage[]
const CODECS = [DEFAULT_CODEC, ...LANGUAGES.flatMap((language) => [...NATIONAL_CODECS[language]])]

const codec: fc.Arbitrary<Codec> = fc.constantFrom(...CODECS)
const textIn = ({ codes }: Codec, maxLength: number): fc.Arbitrary<string> =>
  fc.string({ unit: fc.constantFrom(...codes.keys()), maxLength })

/** Plain letters, signs that cost two septets, accents, other scripts, emoji of several characters, odd marks. */
const anyText = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 500 }),
  fc.string({ unit: 'binary', maxLength: 300 }),
  fc.string({
    unit: fc.constantFrom('a', 'é', '€', '[', '\r', '\n', '’', 'ç', 'क्ष', '👩🏽‍⚕️', '😀', 'e\u0301', 'ع'),
    maxLength: 400,
  }),
)

const route: fc.Arbitrary<Route> = fc.record(
  { national: fc.constantFrom(...LANGUAGES), referenceBits: fc.constantFrom(8, 16) },
  { requiredKeys: [] },
)

/** Octets a part takes with its header, by the rules of TS 23.040 worked out apart from the code. */
function octetsOf(part: string, used: Codec | null, isJoined: boolean, bits: 8 | 16): number {
  const tables = [used?.shift.locking, used?.shift.single].filter((table) => table != null).length
  const elements = tables * 3 + (isJoined ? (bits === 8 ? 5 : 6) : 0)
  const header = elements === 0 ? 0 : elements + 1
  if (used === null) return header + part.length * 2
  return Math.ceil((Math.ceil((header * 8) / 7) * 7 + (countSeptets(part, used) ?? Infinity) * 7) / 8)
}

describe('texts', () => {
  test('any text of an alphabet survives coding and decoding', () => {
    const texts = codec.chain((each) => fc.tuple(fc.constant(each), textIn(each, 200)))

    fc.assert(
      fc.property(texts, ([each, text]) => {
        expect(decodeGsm7(encodeGsm7(text, each) ?? [], each)).toBe(text)
      }),
      RUNS,
    )
  })

  test('decoding any octets gives a text', () => {
    fc.assert(
      fc.property(fc.uint8Array(), codec, (octets, each) => {
        expect(typeof decodeGsm7(octets, each)).toBe('string')
      }),
      RUNS,
    )
  })

  test('packed septets unpack to themselves, at any fill', () => {
    fc.assert(
      fc.property(fc.uint8Array({ max: 127, maxLength: 200 }), fc.nat(6), (septets, fill) => {
        expect(unpackSeptets(packSeptets(septets, fill), septets.length, fill)).toEqual(septets)
      }),
      RUNS,
    )
  })

  test('a packed screen shows its text, at most with the carriage returns it ended in doubled', () => {
    fc.assert(
      fc.property(fc.uint8Array({ max: 127, maxLength: 182 }), (septets) => {
        const isDoubled = septets.length % 8 === 0 && septets.at(-1) === 0x0d
        expect([...unpackScreen(packScreen(septets))]).toEqual([...septets, ...(isDoubled ? [0x0d] : [])])
      }),
      RUNS,
    )
  })

  test('parts join to the text', () => {
    fc.assert(
      fc.property(anyText, route, (text, each) => {
        expect(segments(text, each).parts.join('')).toBe(text)
      }),
      RUNS,
    )
  })

  test('each part fits 140 octets with its header', () => {
    fc.assert(
      fc.property(anyText, route, (text, each) => {
        const { codec: used, parts } = segments(text, each)
        const { referenceBits = 8 } = each
        for (const part of parts)
          expect(octetsOf(part, used, parts.length > 1, referenceBits)).toBeLessThanOrEqual(140)
      }),
      RUNS,
    )
  })

  test('no cut falls inside a grapheme that fits a part', () => {
    const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' })

    fc.assert(
      fc.property(anyText, route, (text, each) => {
        const starts = new Set(Array.from(graphemes.segment(text), ({ index }) => index))
        const isShort = Array.from(graphemes.segment(text)).every(({ segment }) => segment.length < 40)
        fc.pre(isShort)
        let at = 0
        for (const part of segments(text, each).parts.slice(0, -1)) {
          at += part.length
          expect(starts.has(at)).toBe(true)
        }
      }),
      RUNS,
    )
  })

  test('a longer text never takes fewer parts', () => {
    fc.assert(
      fc.property(anyText, fc.string({ maxLength: 20 }), (text, more) => {
        expect(measure(text + more).parts).toBeGreaterThanOrEqual(measure(text).parts)
      }),
      RUNS,
    )
  })

  test('national tables never make a text dearer', () => {
    fc.assert(
      fc.property(anyText, fc.constantFrom(...LANGUAGES), (text, national) => {
        expect(measure(text, { national }).parts).toBeLessThanOrEqual(measure(text).parts)
      }),
      RUNS,
    )
  })

  test('tidying changes a text only to keep it in GSM-7, and once is enough', () => {
    fc.assert(
      fc.property(anyText, fc.constantFrom('keep', 'drop'), (text, accents) => {
        const tidied = tidy(text, { accents })
        expect(tidied === text || measure(tidied).alphabet === 'gsm7').toBe(true)
        expect(tidy(tidied, { accents })).toBe(tidied)
      }),
      RUNS,
    )
  })
})
