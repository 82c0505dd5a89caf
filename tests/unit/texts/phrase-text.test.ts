import { mustBeValid } from '../../../src/core/checked-data.ts'
import { compilePhrase, phraseFaults } from '../../../src/core/texts/phrase-text.ts'
import type { PhraseFault } from '../../../src/core/texts/phrase-text.ts'
import type { Placeholder } from '../../../src/core/texts/catalogue/placeholders.ts'

const FORMS =
  '{count, plural, zero {zero} one {one} two {two} few {few} many {many} other {other}}: # {count, plural, other {#}}'

function formOf(language: string, count: number): string {
  return String(mustBeValid(compilePhrase(FORMS, language)).format({ count })).split(':')[0] ?? ''
}

function faultsOf(text: string, takes: readonly Placeholder[], language = 'en'): PhraseFault['kind'][] {
  const message = mustBeValid(compilePhrase(text, language))
  return phraseFaults(text, message, { kind: 'reply', parts: 1, takes }, language).map(({ kind }) => kind)
}

describe('plurals (Unicode CLDR 48, through ICU 78)', () => {
  const COUNTS = [0, 1, 2, 3, 5, 10, 11, 21, 99, 100, 102, 1_000_000]
  const TWO_FORMS = 'other one other other other other other other other other other other'
  const ZERO_IS_ONE = 'one one other other other other other other other other other other'

  test.each([
    ['en', TWO_FORMS],
    ['sw', TWO_FORMS],
    ['es', TWO_FORMS.replace(/other$/, 'many')],
    ['fr', ZERO_IS_ONE.replace(/other$/, 'many')],
    ['pt', ZERO_IS_ONE.replace(/other$/, 'many')],
    ['pt-PT', TWO_FORMS.replace(/other$/, 'many')],
    ['hi', ZERO_IS_ONE],
    ['am', ZERO_IS_ONE],
    ['ar', 'zero one two few few few many many many other other other'],
    ['ru', 'many one few few many many many one many many few many'],
  ])('%s has the forms of CLDR', (language, forms) => {
    expect(COUNTS.map((count) => formOf(language, count)).join(' ')).toBe(forms)
  })

  test.each(['ar', 'ar-EG', 'hi', 'fa', 'ne'])('%s writes counts in Latin digits', (language) => {
    const message = mustBeValid(compilePhrase('{count, plural, other {#}} {count}', language))

    expect(message.format({ count: 12 })).toBe('12 12')
  })
})

describe('apostrophes in ICU MessageFormat', () => {
  /** formatjs/formatjs issues 1761 and 4199: a single apostrophe before a brace turns the placeholder into text. */
  test('two apostrophes before a placeholder give one, and a typographic one needs no care', () => {
    const format = (text: string): unknown =>
      mustBeValid(compilePhrase(text, 'fr')).format({ child: 'X', place: 'Y' })

    expect(format("l''{child}")).toBe("l'X")
    expect(format('l’{child}')).toBe('l’X')
    expect(format("d'{child} et l'{place}")).not.toContain('X')
    expect(format("aujourd'hui {child}")).toBe("aujourd'hui X")
  })

  test.each([
    ["l'{child}", true],
    ["l''{child}", false],
    ["l'''{child}", true],
    ['l’{child}', false],
    ["aujourd'hui {child}", false],
    ["'{child}'", true],
  ])('the check of %s finds a lost placeholder: %s', (text, isFound) => {
    expect(faultsOf(text, ['child']).includes('apostrophe')).toBe(isFound)
  })
})

describe('phraseFaults', () => {
  test('accepts a phrase that has what it takes', () => {
    expect(faultsOf('{count, plural, =1 {{child}} other {# children}}', ['child', 'count'])).toEqual([])
  })

  test('names a placeholder that is missing or unknown, also inside a plural', () => {
    expect(faultsOf('Hello {child}', ['child', 'day'])).toEqual(['placeholder-missing'])
    expect(faultsOf('Hello {name}', ['child'])).toEqual(['placeholder-missing', 'placeholder-unknown'])
    expect(faultsOf('{count, plural, one {#} other {{place}}}', ['count'])).toEqual(['placeholder-unknown'])
  })

  test('asks for each plural form that small counts need', () => {
    expect(faultsOf('{count, plural, other {#}}', ['count'])).toEqual(['plural-form-missing'])
    expect(faultsOf('{count, plural, =1 {a} other {#}}', ['count'])).toEqual([])
    expect(faultsOf('{count, plural, =1 {a} other {#}}', ['count'], 'fr')).toEqual(['plural-form-missing'])
    expect(faultsOf('{count, plural, one {a} few {b} other {#}}', ['count'], 'ar')).toEqual(
      Array<string>(3).fill('plural-form-missing'),
    )
  })

  test('refuses formats that depend on more than the placeholder', () => {
    expect(faultsOf('{day, date, short}', [])).toContain('element-not-allowed')
    expect(faultsOf('{count, number}', [])).toContain('element-not-allowed')
  })

  test('takes "<" as an ordinary sign', () => {
    expect(mustBeValid(compilePhrase('2 < {count}', 'en')).format({ count: 3 })).toBe('2 < 3')
  })

  test('says what is not MessageFormat at all', () => {
    expect(compilePhrase('{count, plural, one {a}}', 'en').kind).toBe('invalid')
    expect(compilePhrase('Hello {', 'en').kind).toBe('invalid')
  })
})
