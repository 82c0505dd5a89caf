import { dropAccents, tidy } from '../../../src/core/texts/tidy.ts'

describe('tidy', () => {
  test.each([
    ['quotes and apostrophes', '“it’s ‘time’”', "\"it's 'time'\""],
    ['dashes and dots', 'a – b — c…', 'a - b - c...'],
    ['spaces that are not plain', 'a\u00a0b\u202fc\td', 'a b c d'],
    ['marks without width', 'a\u200bb\u200ec\ufeff', 'abc'],
    ['letters and marks apart', 'e\u0301te\u0301', 'été'],
    ['a backtick', '`a`', "'a'"],
  ])('makes %s plain where that keeps a text in GSM-7', (_, text, plain) => {
    expect(tidy(text)).toBe(plain)
  })

  test.each([
    ['a text that is in GSM-7 as it is', 'Ça va? {é}'],
    ['a text that stays in UCS-2 anyway', '“नमस्ते”…'],
    ['accents, unless asked', 'não — já'],
  ])('leaves alone %s', (_, text) => {
    expect(tidy(text)).toBe(text)
  })

  test('drops the accents GSM-7 lacks and keeps those it has', () => {
    expect(tidy('“Não é à toa”, señor: œuvre', { accents: 'drop' })).toBe('"Nao é à toa", señor: oeuvre')
    expect(dropAccents('ç')).toBe('c')
  })

  test('keeps accents that the national tables of the route carry', () => {
    expect(tidy('atención', { accents: 'drop', national: 'spanish' })).toBe('atención')
    expect(tidy('“atenção”', { accents: 'drop', national: 'portuguese' })).toBe('"atenção"')
  })
})
