import { readReply } from '../../../../src/gateway/http/provider-answer.ts'
import type { HttpGatewayConfig } from '../../../../src/gateway/http/http-config.ts'

type Rules = Pick<HttpGatewayConfig['submit'], 'answers' | 'providerIds' | 'reason'>

const plain: Rules = { answers: [] }

function reply(status: number, fields: unknown = {}, retryAfterMs: number | null = null) {
  return { kind: 'answered', status, fields, retryAfterMs } as const
}

describe('readReply without rules of its own', () => {
  // Meanings of statuses: RFC 9110 §15, RFC 6585 §4 (429), RFC 8470 §5.2 (425).
  test.each([
    [200, { kind: 'accepted', providerIds: ['own'] }],
    [202, { kind: 'accepted', providerIds: ['own'] }],
    [302, { kind: 'rejected', fault: 'account', reason: 'status 302' }],
    [400, { kind: 'rejected', fault: 'message', reason: 'status 400' }],
    [401, { kind: 'rejected', fault: 'account', reason: 'status 401' }],
    [404, { kind: 'rejected', fault: 'account', reason: 'status 404' }],
    [409, { kind: 'unclear', reason: 'status 409' }],
    [422, { kind: 'rejected', fault: 'message', reason: 'status 422' }],
    [425, { kind: 'try-later', reason: 'status 425', retryAfterMs: null }],
    [500, { kind: 'unclear', reason: 'status 500' }],
    [503, { kind: 'try-later', reason: 'status 503', retryAfterMs: null }],
    [504, { kind: 'unclear', reason: 'status 504' }],
  ])('reads status %i', (status, answer) => {
    expect(readReply(reply(status), plain, 'own')).toEqual(answer)
  })

  test('passes on how long the provider wants to be left alone', () => {
    expect(readReply(reply(429, {}, 7000), plain, 'own')).toMatchObject({
      kind: 'try-later',
      retryAfterMs: 7000,
    })
  })

  test('tells a request that never left from one that was not answered', () => {
    expect(readReply({ kind: 'not-sent', reason: 'ECONNREFUSED' }, plain, 'own').kind).toBe('try-later')
    expect(readReply({ kind: 'no-answer', reason: 'TimeoutError' }, plain, 'own').kind).toBe('unclear')
  })
})

describe('readReply with rules', () => {
  const ruled: Rules = {
    ...plain,
    answers: [
      { field: 'code', is: ['0'], means: 'accepted' },
      { status: [200], field: 'code', is: ['4', '5'], means: 'rejected-number' },
      { field: 'fault', means: 'rejected-account' },
      { status: [200], means: 'unclear' },
    ],
    providerIds: 'sent.*.id',
    reason: 'words',
  }

  test.each([
    [
      'ids of all parts',
      reply(200, { code: 0, sent: [{ id: 7 }, { id: 8 }] }),
      { kind: 'accepted', providerIds: ['7', '8'] },
    ],
    ['a yes without ids', reply(200, { code: '0' }), { kind: 'unclear', reason: 'no provider id' }],
    [
      'a field value',
      reply(200, { code: 5, words: 'bad number' }),
      { kind: 'rejected', fault: 'number', reason: 'bad number' },
    ],
    [
      'a field that is there at all',
      reply(500, { fault: true }),
      { kind: 'rejected', fault: 'account', reason: 'status 500' },
    ],
    ['an answer no other rule fits', reply(200, '<html>'), { kind: 'unclear', reason: 'status 200' }],
    [
      'a status when nothing fits',
      reply(400, {}),
      { kind: 'rejected', fault: 'message', reason: 'status 400' },
    ],
  ])('reads %s', (_, given, answer) => {
    expect(readReply(given, ruled, 'own')).toEqual(answer)
  })
})
