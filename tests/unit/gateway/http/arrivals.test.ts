import { receiptsIn, screenIn, textsIn, type Provider } from '../../../../src/gateway/http/arrivals.ts'
import { readFields } from '../../../../src/gateway/http/request-fields.ts'
import { Refusal } from '../../../../src/core/refusals.ts'

const repeated: string[] = []
const provider: Provider = {
  name: 'p',
  numbers: 'plus',
  keyOf: (...pieces) => pieces.join('|'),
  onRepeatedField: (path) => repeated.push(path),
}
const texts = {
  fields: { from: 'from', to: 'to', body: 'text' },
  answer: { status: 200, contentType: 't', content: {} },
}
const read = (body: Buffer | string, query = '') =>
  textsIn(readFields(Buffer.from(body), query), texts, provider)

function refusalOf(attempt: () => unknown): string {
  try {
    attempt()
  } catch (error) {
    if (error instanceof Refusal) return error.code
  }
  return 'not refused'
}

beforeEach(() => repeated.splice(0))

describe('textsIn', () => {
  test.each([
    ['a form with a bad byte and a lost plus', 'from=+254712345678&text=%E9%20caf%C3%A9', ''],
    ['a form whose plus was escaped', 'from=%2B254712345678&text=%C3%A9%20caf%E9', ''],
    ['JSON without a content type', '{"from":"+254 712 345678","text":"é café"}', ''],
    ['a query and no body', '', 'from=00254712345678&text=%E9+caf%E9'],
  ])('reads %s', (_, body, query) => {
    expect(read(body, query)).toEqual([
      { gateway: 'p', key: '+254712345678||é café', from: '+254712345678', to: '', body: 'é café' },
    ])
  })

  test('uses the first of a repeated field and says that there were more', () => {
    expect(read('from=70900&text=one&text=two')).toMatchObject([{ from: '70900', body: 'one' }])
    expect(repeated).toEqual(['text'])
  })

  test.each([
    ['', 'body-malformed'],
    ['{"from":', 'body-malformed'],
    ['from=70900', 'input-invalid'],
    ['[]', 'input-invalid'],
  ])('refuses %j with a code', (body, code) => {
    expect(refusalOf(() => read(body))).toBe(code)
  })

  test('drops what Postgres cannot store', () => {
    expect(read('from=70900&text=BCG%001')).toMatchObject([{ body: 'BCG1' }])
  })

  test('reads every text of a list, each under its own id', () => {
    const rules = { ...texts, each: 'inbox', fields: { ...texts.fields, key: 'id' } }
    const data = {
      inbox: [
        { id: 1, from: '70900', text: 'a' },
        { id: 2, from: '70900', text: 'b' },
      ],
    }

    expect(textsIn(data, rules, provider).map(({ key, body }) => [key, body])).toEqual([
      ['1', 'a'],
      ['2', 'b'],
    ])
  })
})

describe('receiptsIn', () => {
  const rules = {
    fields: { providerId: 'id', state: 'state', reason: 'why', at: 'at' },
    states: { OK: 'delivered', NO: 'undelivered' },
  } as const

  test.each([
    ['iso', '2026-03-15T12:01:00+03:00', new Date('2026-03-15T09:01:00Z')],
    ['iso', '2026-02-30T09:00:00Z', null],
    ['seconds', '1773565260', new Date('2026-03-15T09:01:00Z')],
    ['milliseconds', 1773565260000, new Date('2026-03-15T09:01:00Z')],
    ['seconds', 'yesterday', null],
  ] as const)('reads a time written as %s: %s', (atIs, at, instant) => {
    expect(receiptsIn({ id: 'x', state: 'OK', at }, { ...rules, atIs }, provider)).toEqual([
      { gateway: 'p', providerId: 'x', state: 'delivered', reason: null, at: instant },
    ])
  })

  test('does not guess at a word it does not know', () => {
    const [receipt] = receiptsIn(
      { id: 'x', state: 'toString', why: 'odd' },
      { ...rules, atIs: 'iso' },
      provider,
    )

    expect(receipt).toMatchObject({ state: 'unknown', reason: 'odd' })
  })
})

describe('screenIn', () => {
  const answer = { status: 200, contentType: 'text/plain', content: '{{text}}' }
  const rules = {
    fields: { dialogue: 'visit', from: 'from', typed: 'typed', code: 'code' },
    typedIs: 'last-step',
    separator: '*',
    continues: answer,
    ends: answer,
  } as const
  const step = (typed: string) => ({ visit: 'v1', from: '+447700900123', code: '*7709#', typed })

  test.each([
    ['last-step', '', '*7709#', true],
    ['last-step', '2', '2', false],
    ['whole-trail', '', '*7709#', true],
    ['whole-trail', '1*2*98', '98', false],
    ['whole-trail', '1*2*', '', false],
  ] as const)('reads a %s of %j', (typedIs, given, typed, isFirst) => {
    expect(screenIn(step(given), { ...rules, typedIs }, provider)).toEqual({
      gateway: 'p',
      dialogue: 'v1',
      from: '+447700900123',
      typed,
      isFirst,
      // A trail that comes again is a step that comes again.
      ...(typedIs === 'whole-trail' ? { key: given } : {}),
    })
  })

  test('tells the first step by a field where the provider has one', () => {
    const first = { field: 'phase', is: ['open'] }

    expect(screenIn({ ...step(''), phase: 'open' }, { ...rules, first }, provider).isFirst).toBe(true)
    expect(screenIn({ ...step(''), phase: 'on' }, { ...rules, first }, provider)).toMatchObject({
      isFirst: false,
      typed: '',
    })
  })
})
