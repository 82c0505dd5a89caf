import smpp from 'smpp'
import { COMMANDS, TAGS } from '../../../../src/gateway/smpp/commands.ts'
import { cutFrames } from '../../../../src/gateway/smpp/pdu-frames.ts'
import { decodePdu, encodePdu, makePdu } from '../../../../src/gateway/smpp/pdu.ts'

/** A PDU written out by hand from SMPP 3.4 §3.2 and §4.4.1. */
const SUBMIT = [
  '0000003a', // command_length 58
  '00000004', // submit_sm
  '00000000',
  '00000007', // sequence_number
  '00', // service_type ""
  '0300', // source TON 3, NPI 0
  '373039303000', // "70900"
  '0101', // destination TON 1, NPI 1
  '34343737303039303031323300', // "447700900123"
  '00', // esm_class
  '0000', // protocol_id, priority_flag
  '00', // schedule_delivery_time ""
  '00', // validity_period ""
  '01', // registered_delivery
  '00', // replace_if_present_flag
  '00', // data_coding
  '00', // sm_default_msg_id
  '02', // sm_length
  '4869', // "Hi"
  '0204000200ff', // user_message_reference
].join('')

const TAG_NAMES = {
  receiptedMessageId: 'receipted_message_id',
  sarReference: 'sar_msg_ref_num',
  sarTotal: 'sar_total_segments',
  sarNumber: 'sar_segment_seqnum',
  networkErrorCode: 'network_error_code',
  messagePayload: 'message_payload',
  messageState: 'message_state',
  ussdServiceOp: 'ussd_service_op',
  itsSessionInfo: 'its_session_info',
} as const satisfies Record<keyof typeof TAGS, string>

const submit = makePdu('submit_sm', {
  sequence: 7,
  source: '70900',
  sourceTon: 3,
  destination: '447700900123',
  destinationTon: 1,
  destinationNpi: 1,
  registeredDelivery: 1,
  shortMessage: Buffer.from('Hi'),
  tlvs: new Map([[0x0204, Buffer.from([0, 0xff])]]),
})

describe('encodePdu', () => {
  test('writes a submit_sm as the standard lays it out', () => {
    expect(encodePdu(submit).toString('hex')).toBe(SUBMIT)
  })

  test.each([
    ['source', { source: '1'.repeat(21) }],
    ['shortMessage', { shortMessage: Buffer.alloc(255) }],
    ['validUntil', { validUntil: '1'.repeat(17) }],
  ])('throws rather than write a %s its field cannot hold', (_, parts) => {
    expect(() => encodePdu(makePdu('submit_sm', parts))).toThrow()
  })
})

describe('decodePdu', () => {
  test('reads a submit_sm as the standard lays it out', () => {
    expect(decodePdu(Buffer.from(SUBMIT, 'hex'))).toEqual({ kind: 'pdu', pdu: submit })
  })

  test.each([
    ['no', '00000010800000040000005800000003', { command: 'submit_sm_resp', status: 0x58, messageId: '' }],
    ['yes', '00000010800000050000000000000003', { command: 'deliver_sm_resp', status: 0, messageId: '' }],
  ])('reads an answer that says %s without a body', (_, hex, pdu) => {
    expect(decodePdu(Buffer.from(hex, 'hex'))).toMatchObject({ kind: 'pdu', pdu })
  })

  test.each([
    ['a length that is not that of the octets', '0000001100000015000000000000000a', 0x02],
    ['nothing', '', 0x02],
    ['a deliver_sm that stops in its addresses', '000000140000000500000000000000aa00010134', 0x02],
  ])('calls %s malformed', (_, hex, status) => {
    expect(decodePdu(Buffer.from(hex, 'hex'))).toMatchObject({ kind: 'malformed', status })
  })

  // The octets 02 0C 00 02 01 promise two octets of value and have one.
  test('calls a TLV that is longer than the body malformed, and keeps the sequence number to answer with', () => {
    const whole = encodePdu(
      makePdu('deliver_sm', { sequence: 0xaa, source: '447700900123', shortMessage: Buffer.from('WHEN') }),
    )
    const octets = Buffer.concat([whole, Buffer.from('020c000201', 'hex')])
    octets.writeUInt32BE(octets.length, 0)

    expect(decodePdu(octets)).toMatchObject({
      kind: 'malformed',
      id: COMMANDS.deliver_sm.id,
      sequence: 0xaa,
      status: 0xc0,
    })
  })

  test('names a command it does not use by its id', () => {
    expect(decodePdu(Buffer.from('00000010000000030000000000000009', 'hex'))).toEqual({
      kind: 'unknown-command',
      id: 3,
      sequence: 9,
    })
  })
})

describe('against the npm library smpp 0.5.1, written by others', () => {
  test('what is written here is read there', () => {
    const read = smpp.PDU.fromBuffer(encodePdu(submit))

    expect(read).toMatchObject({
      command: 'submit_sm',
      sequence_number: 7,
      source_addr: '70900',
      destination_addr: '447700900123',
      registered_delivery: 1,
      user_message_reference: 255,
    })
  })

  test('what is written there is read here', () => {
    const written = new smpp.PDU('deliver_sm', {
      source_addr: '447700900123',
      source_addr_ton: 1,
      destination_addr: '70900',
      esm_class: 4,
      data_coding: 0,
      short_message: Buffer.from('id:1 stat:DELIVRD'),
      receipted_message_id: '00AB12',
      message_state: 2,
      ussd_service_op: 18,
      its_session_info: Buffer.from([7, 2]),
    })

    const decoded = decodePdu(written.toBuffer())

    if (decoded.kind !== 'pdu' || decoded.pdu.command !== 'deliver_sm') throw new Error(decoded.kind)
    const { pdu } = decoded
    expect(pdu).toMatchObject({ source: '447700900123', sourceTon: 1, destination: '70900', esmClass: 4 })
    expect(pdu.shortMessage.toString()).toBe('id:1 stat:DELIVRD')
    expect(pdu.tlvs.get(TAGS.receiptedMessageId)?.toString('latin1')).toBe('00AB12\0')
    expect(pdu.tlvs.get(TAGS.messageState)).toEqual(Buffer.from([2]))
    expect(pdu.tlvs.get(TAGS.ussdServiceOp)).toEqual(Buffer.from([18]))
    expect(pdu.tlvs.get(TAGS.itsSessionInfo)).toEqual(Buffer.from([7, 2]))
  })

  test('commands and TLVs have the same numbers in both', () => {
    const theirs = Object.fromEntries(Object.entries(smpp.commands).map(([name, { id }]) => [name, id]))
    const ours = Object.fromEntries(Object.entries(COMMANDS).map(([name, { id }]) => [name, id]))

    expect(theirs).toMatchObject(ours)
    expect(Object.entries(TAG_NAMES).map(([name, tag]) => [tag, smpp.tlvs[tag]?.id, name])).toEqual(
      Object.entries(TAG_NAMES).map(([name, tag]) => [tag, TAGS[name as keyof typeof TAGS], name]),
    )
  })
})

describe('cutFrames', () => {
  const one = Buffer.from('00000010000000150000000000000001', 'hex')

  test('waits for the rest of a PDU and finds several in one chunk', () => {
    const first = cutFrames(Buffer.alloc(0), Buffer.concat([one, one.subarray(0, 3)]))
    const second = cutFrames(first.rest, Buffer.concat([one.subarray(3), one]))

    expect(first.frames).toEqual([one])
    expect(second).toEqual({ frames: [one, one], rest: Buffer.alloc(0), isLost: false })
  })

  test.each([
    ['shorter than a header', '0000000f'],
    ['of an HTTP answer', Buffer.from('HTTP/1.1 400').toString('hex')],
  ])('gives up at a length %s', (_, hex) => {
    expect(cutFrames(Buffer.alloc(0), Buffer.from(hex, 'hex'))).toMatchObject({ frames: [], isLost: true })
  })
})
