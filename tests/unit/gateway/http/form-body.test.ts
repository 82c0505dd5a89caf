import { decodeForm, decodeText } from '../../../../src/gateway/http/form-body.ts'

describe('decodeText', () => {
  test.each([
    ['UTF-8', '63616665cc81', 'cafe\u0301'],
    ['Latin-1', '636166e9', 'café'],
    ['both in one value', 'e920636166c3a9', 'é café'],
    ['an emoji between bad bytes', 'fff09f9982fe', 'ÿ🙂þ'],
    ['a sequence cut short', 'c3', 'Ã'],
    // Unicode table 3-7: overlong forms and encoded surrogates are not well-formed.
    ['an overlong slash', 'c0af', 'À¯'],
    ['an encoded surrogate', 'eda080', 'í\u00a0\u0080'],
  ])('reads %s', (_, hex, text) => {
    expect(decodeText(Buffer.from(hex, 'hex'))).toBe(text)
  })
})

describe('decodeForm', () => {
  test.each([
    ['one bad byte beside good ones', 'text=%E9%20caf%C3%A9', { text: ['é café'] }],
    ['"+" as a space', 'from=+254712345678&text=a+b', { from: [' 254712345678'], text: ['a b'] }],
    ['a repeated field', 'text=a&text=b', { text: ['a', 'b'] }],
    ['a field without a value, and nothing between separators', 'a&&b=', { a: [''], b: [''] }],
    ['a percent sign that escapes nothing', 'text=100%25 or 100% or %zz', { text: ['100% or 100% or %zz'] }],
    ['an equals sign in a value', 'sum=1+1=2', { sum: ['1 1=2'] }],
    ['raw UTF-8 bytes', 'text=café', { text: ['café'] }],
    ['nothing', '', {}],
  ])('reads %s', (_, body, fields) => {
    expect(decodeForm(Buffer.from(body))).toEqual(fields)
  })

  test('keeps a field named like a built-in property as a plain field', () => {
    const fields = decodeForm(Buffer.from('__proto__=x&constructor=y'))

    expect(Object.entries(fields)).toEqual([
      ['__proto__', ['x']],
      ['constructor', ['y']],
    ])
  })
})
