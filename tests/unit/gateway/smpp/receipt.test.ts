import { kindOfArrival } from '../../../../src/gateway/smpp/arrival.ts'
import { TAGS } from '../../../../src/gateway/smpp/commands.ts'
import { makePdu, type PduParts } from '../../../../src/gateway/smpp/pdu.ts'
import { receiptOf } from '../../../../src/gateway/smpp/receipt.ts'

const config = {
  name: 'smpp',
  messageIds: { inAnswers: 'text', inReceipts: 'text' },
  receiptZone: 'Africa/Nairobi',
} as const

function read(parts: PduParts<'deliver_sm'>, more: object = {}) {
  return receiptOf(makePdu('deliver_sm', { esmClass: 0x04, ...parts }), { ...config, ...more })
}

const words = (text: string): { shortMessage: Buffer } => ({ shortMessage: Buffer.from(text, 'latin1') })
const state = (value: number) => [TAGS.messageState, Buffer.from([value])] as const
const id = (text: string) => [TAGS.receiptedMessageId, Buffer.from(`${text}\0`)] as const

describe('receiptOf', () => {
  // Receipts for Unicode texts come as ASCII octets under data_coding 8.
  test('reads ASCII octets whatever data_coding says', () => {
    const text =
      'id:0123456789 sub:001 dlvrd:001 submit date:2603150900 done date:2603150901 stat:DELIVRD err:000 text:'

    expect(read({ ...words(text), dataCoding: 8 })).toEqual({
      gateway: 'smpp',
      providerId: '0123456789',
      state: 'delivered',
      reason: null,
      at: new Date('2026-03-15T06:01:00Z'),
    })
  })

  // Three ways to say the same.
  test.each([
    ['few words', words('id:00AB12 stat:DELIVRD')],
    ['capitals', words('ID:00AB12 SUB:001 DLVRD:001 STAT:delivrd ERR:0000 TEXT:x')],
    ['TLVs alone', { tlvs: new Map([id('00AB12'), state(2)]) }],
    [
      'words that are truly UTF-16',
      { shortMessage: Buffer.from('id:00AB12 stat:DELIVRD', 'utf16le').swap16() },
    ],
    [
      'words behind a header',
      {
        esmClass: 0x44,
        shortMessage: Buffer.concat([
          Buffer.from('050003010101', 'hex'),
          Buffer.from('id:00AB12 stat:DELIVRD'),
        ]),
      },
    ],
    ['a payload', { tlvs: new Map([[TAGS.messagePayload, Buffer.from('id:00AB12 stat:DELIVRD')]]) }],
  ])('reads %s as the same receipt', (_, parts) => {
    expect(read(parts)).toMatchObject({ providerId: '00AB12', state: 'delivered' })
  })

  test('believes the TLVs where the words say otherwise', () => {
    const tlvs = new Map([id('9'), state(5), [TAGS.networkErrorCode, Buffer.from([3, 0, 27])] as const])

    expect(read({ ...words('id:8 stat:DELIVRD err:000'), tlvs })).toMatchObject({
      providerId: '9',
      state: 'undelivered',
      reason: 'DELIVRD err 000 network 3 error 27',
    })
  })

  // SMPP 3.4 §5.2.28; which states are the end of a text is judgement.
  test.each([
    [1, 'under-way'],
    [2, 'delivered'],
    [3, 'undelivered'],
    [4, 'undelivered'],
    [5, 'undelivered'],
    [6, 'under-way'],
    [7, 'unknown'],
    [8, 'undelivered'],
    [9, 'unknown'],
  ])('takes message_state %i for %s', (value, meaning) => {
    expect(read({ tlvs: new Map([id('1'), state(value)]) })?.state).toBe(meaning)
  })

  test('never takes an intermediate notification for the end', () => {
    expect(read({ esmClass: 0x20, ...words('id:1 stat:UNDELIV err:001') })).toMatchObject({
      state: 'under-way',
    })
  })

  test('leaves a word it does not know open, and gives it as the reason', () => {
    expect(read(words('id:77 stat:XYZ'))).toMatchObject({ providerId: '77', state: 'unknown', reason: 'XYZ' })
  })

  test('makes nothing of a receipt that names no message', () => {
    expect(read(words('7,DELIVRD,0'))).toBeNull()
    expect(read({})).toBeNull()
  })

  test('spells the id as the answers do', () => {
    const messageIds = { inAnswers: 'hex', inReceipts: 'decimal' }

    expect(read(words('id:0870928761 stat:DELIVRD'), { messageIds })?.providerId).toBe('870928761')
  })
})

describe('kindOfArrival', () => {
  test.each([
    [0x00, 'text'],
    [0x04, 'receipt'],
    [0x44, 'receipt'],
    [0x40, 'text'],
    [0x43, 'text'],
    [0x20, 'receipt'],
    [0x08, 'acknowledgement'],
    [0x18, 'acknowledgement'],
  ])('takes esm_class %i for a %s', (esmClass, kind) => {
    expect(kindOfArrival(makePdu('deliver_sm', { esmClass }))).toBe(kind)
  })
})
