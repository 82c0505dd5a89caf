import { packScreen } from '../../../../src/core/texts/septets.ts'
import { TAGS } from '../../../../src/gateway/smpp/commands.ts'
import { makePdu } from '../../../../src/gateway/smpp/pdu.ts'
import { readStep, screenPdu } from '../../../../src/gateway/smpp/screens.ts'
import { SmppConfig } from '../../../../src/gateway/smpp/smpp-config.ts'

const config = SmppConfig.parse({
  kind: 'smpp',
  name: 'smpp',
  host: 'smsc.example',
  systemId: 'duebell',
  source: { address: '70900', ton: 3, npi: 0 },
})

/** A step from a phone; `info` is its_session_info. */
function step(op: number, typed: string | Buffer, info?: number[], more: object = {}) {
  return makePdu('deliver_sm', {
    source: '447700900123',
    sourceTon: 1,
    destination: '7709',
    dataCoding: 0x0f,
    shortMessage: Buffer.from(typed),
    tlvs: new Map([
      [TAGS.ussdServiceOp, Buffer.from([op])],
      ...(info === undefined ? [] : [[TAGS.itsSessionInfo, Buffer.from(info)] as const]),
    ]),
    ...more,
  })
}

describe('readStep', () => {
  // ussd_service_op: SMPP 3.4 §5.3.2.44; its_session_info: §5.3.2.43 (session 7, sequence 1, open or ended).
  test('reads a dialled code and a reply as steps of one dialogue', () => {
    expect(readStep(step(1, '*7709#', [7, 0]), config)).toEqual({
      dialogue: '+447700900123/7',
      from: '+447700900123',
      typed: '*7709#',
      isFirst: true,
    })
    expect(readStep(step(18, ' 2 ', [7, 2]), config)).toEqual({
      dialogue: '+447700900123/7',
      from: '+447700900123',
      typed: '2',
      isFirst: false,
    })
  })

  test('tells dialogues apart by the sender where the SMSC gives no session', () => {
    expect(readStep(step(1, '*7709#'), config)).toMatchObject({ dialogue: '+447700900123/' })
  })

  test.each([
    ['a dialogue the phone has ended', step(18, '', [7, 3])],
    ['a notice that was shown', step(19, '')],
    ['a dialogue closed by the network', step(16, '')],
  ])('needs no screen for %s', (_, arrival) => {
    expect(readStep(arrival, config)).toBe('other')
  })

  test('is not concerned with a text', () => {
    expect(readStep(makePdu('deliver_sm', {}), config)).toBeNull()
  })

  test('unpacks what was typed where the account packs it', () => {
    const packed = { ...config, screens: { ...config.screens, isPacked: true } }

    expect(readStep(step(18, Buffer.from(packScreen(Buffer.from('12')))), packed)).toMatchObject({
      typed: '12',
    })
  })
})

describe('screenPdu', () => {
  const infoOf = (info: number[] | undefined, ends: boolean): string | undefined =>
    screenPdu(step(18, '2', info), { text: 'Next?', ends }, config)
      .tlvs.get(TAGS.itsSessionInfo)
      ?.toString('hex')

  test('goes back the way the step came and asks for keys, or ends', () => {
    const asks = screenPdu(step(1, '*7709#', [7, 0]), { text: 'Next?', ends: false }, config)
    const ends = screenPdu(step(1, '*7709#', [7, 0]), { text: 'Bye', ends: true }, config)

    expect(asks).toMatchObject({
      serviceType: 'USSD',
      source: '7709',
      destination: '447700900123',
      destinationTon: 1,
      dataCoding: 0x0f,
    })
    expect(asks.tlvs.get(TAGS.ussdServiceOp)).toEqual(Buffer.from([2]))
    expect(ends.tlvs.get(TAGS.ussdServiceOp)).toEqual(Buffer.from([17]))
  })

  test.each([
    [[7, 2], false, '0704'],
    [[7, 2], true, '0705'],
    [[7, 0xfe], false, '0700'],
    [undefined, false, undefined],
  ])('counts on in session %j, ending: %s', (info, ends, hex) => {
    expect(infoOf(info, ends)).toBe(hex)
  })
})
