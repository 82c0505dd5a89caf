import { readFileSync } from 'node:fs'
import { fitsScreen, measure, segments } from '../../../src/core/texts/segments.ts'
import type { Measure, Route } from '../../../src/core/texts/segments.ts'

interface Vectors {
  readonly cases: readonly {
    readonly in: { readonly id: string; readonly text: string }
    readonly expect: Measure
  }[]
}

// A JSON file of known shape, kept with the tests.
const vectors = JSON.parse(
  readFileSync(new URL('../../vectors/measure.json', import.meta.url), 'utf8'),
) as Vectors

const a = (count: number): string => 'a'.repeat(count)
const aa = (count: number): string => 'आ'.repeat(count)

describe('measure', () => {
  test.each(vectors.cases.map((each) => [each.in.id, each.in.text, each.expect] as const))(
    'agrees with vector %s',
    (_, text, expected) => {
      expect(measure(text)).toEqual(expected)
    },
  )

  /** 140 octets of user data, less the header: 3GPP TS 23.040 §9.2.3.24; counts from a second implementation. */
  test.each<readonly [string, string, number]>([
    ['160 letters', a(160), 1],
    ['161 letters', a(161), 2],
    ['306 letters', a(306), 2],
    ['307 letters', a(307), 3],
    ['459 letters', a(459), 3],
    ['460 letters', a(460), 4],
    ['80 euro signs', '€'.repeat(80), 1],
    ['81 euro signs', '€'.repeat(81), 2],
    ['158 letters and a euro sign', `${a(158)}€`, 1],
    ['159 letters and a euro sign', `${a(159)}€`, 2],
    ['a euro sign that would be cut, with room left', `${a(152)}€${a(151)}`, 2],
    ['a euro sign that would be cut, with no room left', `${a(152)}€${a(152)}`, 3],
    ['70 Devanagari letters', aa(70), 1],
    ['71 Devanagari letters', aa(71), 2],
    ['134 Devanagari letters', aa(134), 2],
    ['135 Devanagari letters', aa(135), 3],
    ['35 emoji', '😀'.repeat(35), 1],
    ['36 emoji', '😀'.repeat(36), 2],
    ['an emoji that would be cut', `${aa(66)}😀${aa(66)}`, 3],
    ['100 letters with one typographic apostrophe', `${a(99)}’`, 2],
    ['160 capital Ç', 'Ç'.repeat(160), 1],
    ['160 small ç', 'ç'.repeat(160), 3],
    ['á and 70 letters', `á${a(70)}`, 2],
    ['160 à', 'à'.repeat(160), 1],
    ['a letter and a mark apart', 'e\u0301', 1],
    ['the empty text', '', 1],
  ])('counts the parts of %s', (_, text, parts) => {
    expect(measure(text).parts).toBe(parts)
  })

  test('counts UCS-2 in UTF-16 units and GSM-7 in septets', () => {
    expect(measure('[~]')).toEqual({ alphabet: 'gsm7', units: 6, parts: 1 })
    expect(measure('😀')).toEqual({ alphabet: 'ucs2', units: 2, parts: 1 })
    expect(measure('e\u0301').alphabet).toBe('ucs2')
    expect(measure('e\u0301'.normalize('NFC')).alphabet).toBe('gsm7')
  })

  /** A 16-bit reference leaves 152 septets or 66 units (3GPP TS 23.040 §9.2.3.24.8). */
  test.each<readonly [string, number]>([
    [a(304), 2],
    [a(306), 3],
    [a(459), 4],
    [aa(132), 2],
    [aa(134), 3],
  ])('leaves less room beside a 16-bit reference', (text, parts) => {
    expect(measure(text, { referenceBits: 16 }).parts).toBe(parts)
  })

  /** One table 155 septets, both 152; joined 149 and 146, by the octets their elements take (TS 23.040 §9.2.3.24.15-16). */
  test.each<readonly [string, Route, number]>([
    [`ó${a(153)}`, { national: 'spanish' }, 1],
    [`ó${a(154)}`, { national: 'spanish' }, 2],
    [`ó${a(296)}`, { national: 'spanish' }, 2],
    [`ó${a(297)}`, { national: 'spanish' }, 3],
    ['अ'.repeat(155), { national: 'hindi' }, 1],
    ['अ'.repeat(156), { national: 'hindi' }, 2],
    [`${'अ'.repeat(148)}।A`, { national: 'hindi' }, 1],
    [`${'अ'.repeat(149)}।A`, { national: 'hindi' }, 2],
    [`${'अ'.repeat(288)}।A`, { national: 'hindi' }, 2],
    [`${'अ'.repeat(289)}।A`, { national: 'hindi' }, 3],
  ])('spends the right header on national tables', (text, route, parts) => {
    expect(measure(text, route)).toMatchObject({ alphabet: 'gsm7', parts })
  })

  test('spends no header on tables that a text does not need', () => {
    expect(segments(a(160), { national: 'spanish' }).codec?.shift).toEqual({ locking: null, single: null })
    expect(measure('ó').alphabet).toBe('ucs2')
  })
})

describe('segments', () => {
  test('cuts before an escape pair, a surrogate pair and a grapheme', () => {
    expect(segments(`${a(152)}€${a(152)}`).parts).toEqual([a(152), `€${a(151)}`, 'a'])
    expect(segments(`${aa(66)}😀${aa(66)}`).parts).toEqual([aa(66), `😀${aa(65)}`, 'आ'])
    expect(segments(`${aa(66)}👩🏽‍⚕️${aa(9)}`).parts).toEqual([aa(66), `👩🏽‍⚕️${aa(9)}`])
    expect(segments(`${a(152)}\r\n${a(10)}`).parts).toEqual([a(152), `\r\n${a(10)}`])
  })

  test('cuts a grapheme only where it is longer than a part', () => {
    const monster = `e${'\u0301'.repeat(100)}`

    expect(segments(monster).parts.map((part) => part.length)).toEqual([67, 34])
  })
})

describe('fitsScreen (160 octets: 3GPP TS 23.090 maxUSSD-StringLength)', () => {
  test.each([
    ['182 letters', a(182), true],
    ['183 letters', a(183), false],
    ['91 euro signs', '€'.repeat(91), true],
    ['70 Devanagari letters', aa(70), true],
    ['71 Devanagari letters', aa(71), false],
  ])('tells of %s', (_, text, fits) => {
    expect(fitsScreen(text)).toBe(fits)
  })
})
