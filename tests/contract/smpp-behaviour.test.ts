import type { Clock, GatewayHandlers, IncomingText, Log, OutgoingText, Receipt } from '../../src/app/ports.ts'
import { encodePdu, makePdu, type Pdu, type PduOf } from '../../src/gateway/smpp/pdu.ts'
import { SmppConfig } from '../../src/gateway/smpp/smpp-config.ts'
import { smppGateway } from '../../src/gateway/smpp/smpp-gateway.ts'
import type { Gateway } from '../../src/app/ports.ts'
import { TEST_CERTIFICATE, TEST_KEY } from '../support/test-smsc-certificate.ts'
import { startTestSmsc, type Seen, type SubmitReply, type TestSmsc } from '../support/test-smsc.ts'
import { quietLog, stillClock } from './network.ts'

const PHONE = '+447700900123'
const FROM_PHONE = { source: '447700900123', sourceTon: 1, destination: '70900' }

let smsc: TestSmsc
let gateway: Gateway | undefined
let texts: IncomingText[]
let receipts: Receipt[]
let onText: GatewayHandlers['onText']
let screen: string

beforeEach(async () => {
  smsc = await startTestSmsc()
  ;[texts, receipts, screen] = [[], [], '']
  onText = (text) => Promise.resolve(void texts.push(text))
})

afterEach(async () => {
  await gateway?.close()
  gateway = undefined
  await smsc.stop()
})

async function open({
  timing = {},
  log = quietLog,
  clock = stillClock,
  ...more
}: { timing?: object; log?: Log; clock?: Clock; [field: string]: unknown } = {}): Promise<Gateway> {
  const config = SmppConfig.parse({
    kind: 'smpp',
    name: 'smpp',
    host: '127.0.0.1',
    port: smsc.port,
    systemId: 'duebell',
    passwordSecret: 'smpp-password',
    source: { address: '70900', ton: 3, npi: 0 },
    timing: { firstRetryMs: 5, longestRetryMs: 20, firstPauseMs: 20, longestPauseMs: 40, ...timing },
    ...more,
  })
  const secrets = { 'smpp-password': 'secret', ca: TEST_CERTIFICATE }
  gateway = smppGateway({ config, secrets, clock, log, random: () => 0 })
  await gateway.open({
    onText: (text) => onText(text),
    onReceipt: (receipt) => Promise.resolve(void receipts.push(receipt)),
    onScreen: () => Promise.resolve({ text: screen, ends: true }),
  })
  return gateway
}

const text = (body: string, more: Partial<OutgoingText> = {}): OutgoingText => ({
  id: body,
  to: PHONE,
  body,
  validUntil: null,
  urgent: false,
  ...more,
})

const submits = (): PduOf<'submit_sm'>[] =>
  smsc.seen.flatMap(({ pdu }) => (pdu.command === 'submit_sm' ? [pdu] : []))
const counts = (command: Pdu['command'], least: number) => (seen: readonly Seen[]) =>
  seen.filter(({ pdu }) => pdu.command === command).length >= least

describe('a bind', () => {
  test('says who we are, in version 3.4', async () => {
    await open()

    expect(smsc.seen[0]?.pdu).toMatchObject({
      command: 'bind_transceiver',
      systemId: 'duebell',
      password: 'secret',
      interfaceVersion: 0x34,
    })
  })

  test('is two where the account wants two', async () => {
    const smpp = await open({ bindAs: 'transmitter-and-receiver' })

    expect(smsc.seen.map(({ pdu }) => pdu.command).sort()).toEqual(['bind_receiver', 'bind_transmitter'])
    expect(smpp.isUp?.()).toBe(true)
    expect(await smsc.deliver({ ...FROM_PHONE, shortMessage: Buffer.from('WHEN') })).toBe(0)
  })

  // Binding again and again with a wrong password may lock the account.
  test.each([0x0d, 0x0e, 0x0f])(
    'refused with %i leaves the gateway down, sends nothing, and is not tried again soon',
    async (status) => {
      smsc.answerBinds((systemId) => (systemId === 'duebell' ? status : 0x05))
      const hopeless = await open({ timing: { hopelessRetryMs: 60_000 } })
      expect(hopeless.isUp?.()).toBe(false)
      expect(await hopeless.submit(text('Hi'))).toMatchObject({ kind: 'try-later' })

      const hopeful = await open({ systemId: 'other' })
      await smsc.until(counts('bind_transceiver', 5))
      const binds = smsc.seen.flatMap(({ pdu }) => (pdu.command === 'bind_transceiver' ? [pdu.systemId] : []))
      expect(binds.slice(0, 5)).toEqual(['duebell', 'other', 'other', 'other', 'other'])
      await Promise.all([hopeless.close(), hopeful.close()])
    },
  )

  test('refused for another reason is tried again', async () => {
    smsc.answerBinds(() => 0x05)
    const smpp = await open()
    smsc.answerBinds(() => 0)

    await smsc.until(counts('bind_transceiver', 2))
    await expectUpAgain(smpp)
  })

  test('that is never answered is given up and tried again', async () => {
    smsc.answerBinds(() => null)
    const smpp = await open({ timing: { connectMs: 30 } })
    expect(smpp.isUp?.()).toBe(false)
    smsc.answerBinds(() => 0)

    await expectUpAgain(smpp)
  })

  test('is made when the SMSC comes up after the gateway', async () => {
    const { port } = smsc
    await smsc.stop()
    const smpp = await open({ port })
    expect(smpp.isUp?.()).toBe(false)

    smsc = await startTestSmsc({ port })
    await expectUpAgain(smpp)
  })
})

describe('a bind over TLS', () => {
  beforeEach(async () => {
    await smsc.stop()
    smsc = await startTestSmsc({ tls: { key: TEST_KEY, cert: TEST_CERTIFICATE } })
  })

  test('works with a certificate that was named', async () => {
    const smpp = await open({ tls: { serverName: 'smsc.test', caSecret: 'ca' } })

    expect(await smpp.submit(text('Hi'))).toMatchObject({ kind: 'accepted' })
  })

  test.each([
    ['that nobody vouches for', { serverName: 'smsc.test' }],
    ['of another server', { serverName: 'other.test', caSecret: 'ca' }],
  ])('is not made with a certificate %s', async (_, tls) => {
    const smpp = await open({ tls })

    expect(smpp.isUp?.()).toBe(false)
    expect(smsc.seen).toEqual([])
  })
})

describe('a connection', () => {
  test('that is cut leaves its unanswered text in doubt, and a new one binds', async () => {
    smsc.answerSubmits(() => 'hang-up')
    const smpp = await open()
    expect(await smpp.submit(text('lost'))).toMatchObject({ kind: 'unclear' })

    smsc.answerSubmits(() => [{ messageId: '2' }])
    await expectUpAgain(smpp)
    expect(await smpp.submit(text('next'))).toEqual({ kind: 'accepted', providerIds: ['2'] })
    expect(smsc.seen.at(-1)?.connection).toBe(2)
  })

  // The octets 02 0C 00 02 01 are a TLV longer than its PDU.
  test('that carries a malformed PDU is closed, the PDU refused for good, and a new one binds', async () => {
    const smpp = await open()
    const whole = encodePdu(
      makePdu('deliver_sm', { sequence: 9, ...FROM_PHONE, shortMessage: Buffer.from('WHEN') }),
    )
    const malformed = Buffer.concat([whole, Buffer.from('020c000201', 'hex')])
    malformed.writeUInt32BE(malformed.length, 0)
    smsc.write(malformed)

    await smsc.until(counts('bind_transceiver', 2))
    await expectUpAgain(smpp)
    expect(smsc.seen.map(({ pdu }) => pdu)).toContainEqual(
      expect.objectContaining({ command: 'deliver_sm_resp', sequence: 9, status: 0xc0 }),
    )
    expect(await smsc.deliver({ ...FROM_PHONE, shortMessage: Buffer.from('WHEN') })).toBe(0)
  })

  test('on which something else than SMPP comes is closed, and a new one binds', async () => {
    const smpp = await open()
    smsc.write(Buffer.from('HTTP/1.1 400 Bad Request\r\n\r\n'))

    await smsc.until(counts('bind_transceiver', 2))
    await expectUpAgain(smpp)
  })

  test('that falls silent is given up, and a new one binds', async () => {
    smsc.answerEnquiries(false)
    await open({ timing: { enquireMs: 20, answerMs: 250, silentEnquiries: 2 } })

    await smsc.until(counts('bind_transceiver', 2))
    expect(smsc.seen.slice(0, 3).map(({ pdu }) => pdu.command)).toEqual([
      'bind_transceiver',
      'enquire_link',
      'enquire_link',
    ])
  })

  test('on which the SMSC answers enquiries stays', async () => {
    const smpp = await open({ timing: { enquireMs: 10, answerMs: 1000 } })

    await smsc.until(counts('enquire_link', 3))
    expect(smpp.isUp?.()).toBe(true)
    expect(counts('bind_transceiver', 2)(smsc.seen)).toBe(false)
  })

  test('answers the SMSC’s enquiry, and says no to a command it does not know', async () => {
    await open()

    expect(await smsc.ask('enquire_link')).toMatchObject({ command: 'enquire_link_resp', status: 0 })
    // query_sm, with a body of its own.
    smsc.write(Buffer.from('00000013000000030000000000000063' + '313200', 'hex'))
    await smsc.until(counts('generic_nack', 1))
    expect(smsc.seen.at(-1)?.pdu).toMatchObject({ sequence: 0x63, status: 0x03 })
  })

  test('that the SMSC unbinds is answered, and a new one binds', async () => {
    const smpp = await open()

    expect(await smsc.ask('unbind')).toMatchObject({ command: 'unbind_resp', status: 0 })
    await smsc.until(counts('bind_transceiver', 2))
    await expectUpAgain(smpp)
  })

  test('is unbound at the end', async () => {
    const smpp = await open()
    await smpp.close()

    expect(smsc.seen.at(-1)?.pdu.command).toBe('unbind')
    expect(await smpp.submit(text('late'))).toMatchObject({ kind: 'try-later' })
  })

  test('on which the SMSC says the bind is of no use is replaced', async () => {
    smsc.answerSubmits(() => [{ status: 0x04 }])
    const smpp = await open()

    expect(await smpp.submit(text('Hi'))).toMatchObject({ kind: 'try-later' })
    await smsc.until(counts('bind_transceiver', 2))
  })
})

describe('a text to a phone', () => {
  test('carries its coding, its number and how long it is of use', async () => {
    const smpp = await open()
    await smpp.submit(text('Hello', { validUntil: new Date('2026-05-06T10:20:30Z') }))

    expect(submits()[0]).toMatchObject({
      source: '70900',
      sourceTon: 3,
      destination: '447700900123',
      destinationTon: 1,
      destinationNpi: 1,
      dataCoding: 0,
      registeredDelivery: 1,
      validUntil: '260506102030000+',
      shortMessage: Buffer.from('Hello'),
    })
  })

  test('is accepted under an id that its receipt can be matched with', async () => {
    smsc.answerSubmits(() => [{ messageId: '33E95179' }])
    const smpp = await open({ messageIds: { inAnswers: 'hex', inReceipts: 'decimal' } })

    const answer = await smpp.submit(text('Hi'))
    await smsc.deliver({ esmClass: 0x04, shortMessage: Buffer.from('id:0870928761 stat:DELIVRD') })

    expect(answer).toEqual({ kind: 'accepted', providerIds: [receipts[0]?.providerId] })
  })

  test('has one outcome though its answer comes twice', async () => {
    smsc.answerSubmits(() => [{ messageId: '2' }, { messageId: '3' }])
    const smpp = await open()

    expect(await smpp.submit(text('a'))).toEqual({ kind: 'accepted', providerIds: ['2'] })
    expect(await smpp.submit(text('b'))).toEqual({ kind: 'accepted', providerIds: ['2'] })
  })

  test('stays in doubt though its answer comes after its time', async () => {
    let answer: (reply: SubmitReply) => void = () => undefined
    smsc.answerSubmits(() => new Promise((resolve) => (answer = resolve)))
    const smpp = await open({ timing: { answerMs: 250 } })
    expect(await smpp.submit(text('slow'))).toMatchObject({ kind: 'unclear' })

    answer([{ messageId: '1' }])
    await smsc.ask('enquire_link')
    expect(smpp.isUp?.()).toBe(true)
  })

  test.each([0x58, 0x14])(
    'answered with %i holds those after it, and goes again in its place',
    async (status) => {
      let isThrottled = true
      smsc.answerSubmits(({ shortMessage }) => {
        if (shortMessage.toString() !== '3' || !isThrottled) return [{ messageId: shortMessage.toString() }]
        isThrottled = false
        return [{ status }]
      })
      const smpp = await open({ window: 1 })

      const answers = await Promise.all(
        Array.from({ length: 10 }, (_, at) => smpp.submit(text(String(at + 1)))),
      )

      expect(answers.every((answer) => answer.kind === 'accepted')).toBe(true)
      expect(submits().map(({ shortMessage }) => shortMessage.toString())).toEqual([
        '1',
        '2',
        '3',
        '3',
        '4',
        '5',
        '6',
        '7',
        '8',
        '9',
        '10',
      ])
    },
  )

  test('does not leave when its turn comes after the sending hours', async () => {
    const leaveBefore = new Date(stillClock.now().getTime() + 1000)
    let now = stillClock.now()
    const clock = { now: () => now }
    smsc.answerSubmits(() => {
      now = leaveBefore
      return [{ status: 0x58 }]
    })
    const smpp = await open({ clock })

    expect(await smpp.submit(text('late', { leaveBefore }))).toEqual({
      kind: 'try-later',
      reason: 'the sending hours are over',
      retryAfterMs: null,
    })
    expect(submits()).toHaveLength(1)
  })

  test('is given back when the SMSC throttles for longer than patience lasts', async () => {
    smsc.answerSubmits(() => [{ status: 0x58 }])
    const smpp = await open({ timing: { patienceMs: 30 } })

    expect(await smpp.submit(text('Hi'))).toEqual({
      kind: 'try-later',
      reason: 'no turn in time',
      retryAfterMs: null,
    })
  })

  test('that still waits for its turn is given back when the gateway closes', async () => {
    smsc.answerSubmits(() => [{ status: 0x58 }])
    const smpp = await open({ timing: { firstPauseMs: 60_000, longestPauseMs: 60_000 } })
    const waiting = smpp.submit(text('Hi'))
    await smsc.until(counts('submit_sm', 1))
    await smsc.ask('enquire_link')
    await smpp.close()

    expect(await waiting).toMatchObject({ kind: 'try-later' })
  })

  test('waits while as many as the window allows are unanswered', async () => {
    let [waiting, most] = [0, 0]
    smsc.answerSubmits(async () => {
      most = Math.max(most, (waiting += 1))
      await new Promise((resolve) => setTimeout(resolve, 2))
      waiting -= 1
      return [{ messageId: '1' }]
    })
    const smpp = await open({ window: 3 })

    await Promise.all(Array.from({ length: 12 }, (_, at) => smpp.submit(text(String(at)))))

    expect(most).toBe(3)
  })

  test('stops at the first part that is refused', async () => {
    smsc.answerSubmits(({ shortMessage }) => [shortMessage[5] === 2 ? { status: 0x0b } : { messageId: '1' }])
    const smpp = await open()

    expect(await smpp.submit(text('a'.repeat(450)))).toMatchObject({ kind: 'rejected', fault: 'number' })
    expect(submits()).toHaveLength(2)
  })

  test.each([
    ['a word for a number', text('Hi', { to: 'clinic' }), 'number'],
    ['more parts than can be numbered', text('a'.repeat(153 * 255 + 1)), 'message'],
    ['no more use', text('Hi', { validUntil: new Date('2026-03-15T08:59:59Z') }), 'message'],
  ])('with %s is refused and not sent', async (_, given, fault) => {
    const smpp = await open()

    expect(await smpp.submit(given)).toMatchObject({ kind: 'rejected', fault })
    expect(submits()).toEqual([])
  })
})

describe('a USSD step', () => {
  const step = { ...FROM_PHONE, dataCoding: 0x0f, tlvs: new Map([[0x0501, Buffer.from([1])]]) }

  test('is confirmed though its screen is longer than any PDU can carry, and the log says so', async () => {
    const warnings: string[] = []
    await open({ log: { ...quietLog, warn: (message) => warnings.push(message) } })
    screen = 'क'.repeat(200)

    expect(await smsc.deliver(step)).toBe(0)
    expect(await smsc.ask('enquire_link')).toMatchObject({ status: 0 })
    expect(warnings).toEqual(['screen not shown'])
    expect(submits()).toEqual([])
  })
})

describe('a text from a phone', () => {
  const part = (number: number, octets = `part ${String(number)}.`) => ({
    ...FROM_PHONE,
    esmClass: 0x40,
    shortMessage: Buffer.concat([Buffer.from([5, 0, 3, 7, 2, number]), Buffer.from(octets)]),
  })

  // The SMSC sends again what was not confirmed in time, under a new sequence number.
  test('delivered again after a new bind has the key it had', async () => {
    const smpp = await open()
    await smsc.deliver({ ...FROM_PHONE, shortMessage: Buffer.from('WHEN') })
    smsc.hangUp()
    await smsc.until(counts('bind_transceiver', 2))
    await expectUpAgain(smpp)
    await smsc.deliver({ ...FROM_PHONE, shortMessage: Buffer.from('WHEN') })

    expect(texts).toHaveLength(2)
    expect(texts[1]?.key).toBe(texts[0]?.key)
  })

  test('whose second part never comes is passed on torn', async () => {
    const smpp = await open({ timing: { holdPartMs: 5, joinPartsMs: 20 } })
    const torn = new Promise<IncomingText>((resolve) => {
      onText = (given) => {
        resolve(given)
        return Promise.resolve()
      }
    })
    expect(await smsc.deliver(part(1))).toBe(0)

    expect(await torn).toMatchObject({ body: 'part 1.', missingParts: 1 })
    await smpp.close()
  })

  test('whose parts come twice is passed on once, every part confirmed', async () => {
    await open()
    const statuses = await Promise.all([part(1), part(1), part(2), part(2)].map((one) => smsc.deliver(one)))

    expect(statuses).toEqual([0, 0, 0, 0])
    expect(texts.map(({ body }) => body)).toEqual(['part 1.part 2.'])
  })

  test('that is no text is passed on as hexadecimal', async () => {
    await open()
    expect(
      await smsc.deliver({ ...FROM_PHONE, dataCoding: 0xf5, shortMessage: Buffer.from([1, 2, 3]) }),
    ).toBe(0)

    expect(texts[0]).toMatchObject({ body: '010203', isBinary: true })
  })

  test('may come by data_sm', async () => {
    await open()
    const answer = await smsc.ask('data_sm', {
      ...FROM_PHONE,
      tlvs: new Map([[0x0424, Buffer.from('WHEN')]]),
    })

    expect(answer).toMatchObject({ command: 'data_sm_resp', status: 0 })
    expect(texts[0]).toMatchObject({ body: 'WHEN', from: PHONE })
  })

  test('that comes while the gateway closes is put off', async () => {
    let store = (): void => undefined
    const smpp = await open()
    onText = () =>
      new Promise((resolve) => {
        store = resolve
      })
    const first = smsc.deliver({ ...FROM_PHONE, shortMessage: Buffer.from('WHEN') })
    await smsc.ask('enquire_link')
    const closed = smpp.close()
    await new Promise((resolve) => setImmediate(resolve))

    expect(await smsc.deliver({ ...FROM_PHONE, shortMessage: Buffer.from('LATER') })).toBe(0x64)
    store()
    await closed
    expect(await first).toBe(0)
  })

  test('is a receipt that names nothing: it is confirmed and passed over', async () => {
    await open()

    expect(await smsc.deliver({ esmClass: 0x04, shortMessage: Buffer.from('7,DELIVRD,0') })).toBe(0)
    expect([...receipts, ...texts]).toEqual([])
  })
})

/** Waits until a new session is bound. */
async function expectUpAgain(smpp: Gateway): Promise<void> {
  while (smpp.isUp?.() !== true) await new Promise((resolve) => setImmediate(resolve))
  expect(await smsc.ask('enquire_link')).toMatchObject({ status: 0 })
}
