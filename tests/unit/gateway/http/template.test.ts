import { writeContent } from '../../../../src/gateway/http/content.ts'
import { fill, fillText, placeholdersOf } from '../../../../src/gateway/http/template.ts'

const values = { to: '+447700900123', text: 'He said "now" & <left>', ttl: 3600, until: null }

describe('fill', () => {
  test('keeps a number a number where the placeholder stands alone', () => {
    expect(fill({ ttl: '{{ttl}}', note: 'for {{ttl}} s' }, values)).toEqual({ ttl: 3600, note: 'for 3600 s' })
  })

  test('leaves out a field that has nothing to hold, and keeps one that is empty by design', () => {
    expect(fill({ until: '{{until}}', fixed: null, list: ['{{to}}', true] }, values)).toEqual({
      fixed: null,
      list: ['+447700900123', true],
    })
  })

  test('never fills a placeholder that a value brings along', () => {
    expect(fill('{{text}}', { text: '{{secret.token}}', 'secret.token': 's' })).toBe('{{secret.token}}')
  })
})

describe('fillText', () => {
  test('escapes what goes into an address', () => {
    expect(fillText('https://a.example/?to={{to}}&t={{text}}', values, encodeURIComponent)).toBe(
      'https://a.example/?to=%2B447700900123&t=He%20said%20%22now%22%20%26%20%3Cleft%3E',
    )
  })
})

describe('placeholdersOf', () => {
  test('finds each name once, at any depth, in keys of requests as in texts', () => {
    expect(placeholdersOf({ url: '/{{b}}', body: { list: ['{{a}}', '{{b}}'] } })).toEqual(['a', 'b'])
  })
})

describe('writeContent', () => {
  test.each([
    ['application/json', { t: '{{text}}' }, '{"t":"He said \\"now\\" & <left>"}'],
    ['application/x-www-form-urlencoded', { t: '{{text}}' }, 't=He+said+%22now%22+%26+%3Cleft%3E'],
    ['text/xml', '<t>{{text}}</t>', '<t>He said &#34;now&#34; &#38; &#60;left&#62;</t>'],
    ['text/plain', 'ask {{text}}', 'ask He said "now" & <left>'],
  ])('writes %s so that no text can break out of its field', (contentType, content, body) => {
    expect(writeContent(contentType, content, values)).toBe(body)
  })
})
