import type { SubmitAnswer } from '../../../../src/app/ports.ts'
import { joinAnswers, readPartAnswer } from '../../../../src/gateway/smpp/submit-answer.ts'

const yes = (id: string): SubmitAnswer => ({ kind: 'accepted', providerIds: [id] })
const no: SubmitAnswer = { kind: 'rejected', fault: 'number', reason: 'r' }
const later: SubmitAnswer = { kind: 'try-later', reason: 'l', retryAfterMs: null }
const unclear: SubmitAnswer = { kind: 'unclear', reason: 'u' }

describe('readPartAnswer', () => {
  test.each([
    ['accepted', 0, yes('870928761')],
    ['rejected-number', 0x0b, { kind: 'rejected', fault: 'number', reason: 'status 0x0b' }],
    ['rejected-message', 0x01, { kind: 'rejected', fault: 'message', reason: 'status 0x01' }],
    ['rejected-account', 0x0e, { kind: 'rejected', fault: 'account', reason: 'status 0x0e' }],
    ['try-later', 0x08, { kind: 'try-later', reason: 'status 0x08', retryAfterMs: null }],
    ['rebind', 0x04, { kind: 'try-later', reason: 'status 0x04', retryAfterMs: null }],
    ['unknown', 0x401, { kind: 'try-later', reason: 'status 0x401', retryAfterMs: null }],
  ] as const)('reads %s', (meaning, status, answer) => {
    expect(readPartAnswer({ kind: 'answered', meaning, status, messageId: '33E95179' }, 'hex')).toEqual(
      answer,
    )
  })

  test('tells a part that never left from one in doubt', () => {
    expect(readPartAnswer({ kind: 'not-sent', reason: 'down' }, 'text').kind).toBe('try-later')
    expect(readPartAnswer({ kind: 'unanswered', reason: 'late' }, 'text').kind).toBe('unclear')
  })

  test('refuses a part that no PDU can carry', () => {
    expect(readPartAnswer({ kind: 'unwritable', reason: 'long' }, 'text')).toEqual({
      kind: 'rejected',
      fault: 'message',
      reason: 'long',
    })
  })

  test('gives no id where the SMSC gave none', () => {
    expect(
      readPartAnswer({ kind: 'answered', meaning: 'accepted', status: 0, messageId: '' }, 'text'),
    ).toEqual({ kind: 'accepted', providerIds: [] })
  })
})

describe('joinAnswers', () => {
  test.each([
    ['all parts were taken', [yes('1'), yes('2')], { kind: 'accepted', providerIds: ['1', '2'] }],
    ['one is refused', [yes('1'), no], no],
    ['one was surely not taken', [yes('1'), unclear, later], later],
    ['one is in doubt', [yes('1'), unclear, yes('3')], unclear],
  ])('says what it means when %s', (_, parts, whole) => {
    expect(joinAnswers(parts)).toEqual(whole)
  })
})
