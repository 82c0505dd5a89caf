import { once } from 'node:events'
import type { AddressInfo, Server } from 'node:net'
import smpp from 'smpp'
import type { LibraryPdu, LibrarySession } from 'smpp'
import { z } from 'zod'
import type { Gateway, IncomingText, Receipt } from '../../src/app/ports.ts'
import { SmppConfig } from '../../src/gateway/smpp/smpp-config.ts'
import { smppGateway } from '../../src/gateway/smpp/smpp-gateway.ts'
import { quietLog, stillClock } from './network.ts'

/*
 * The peer is the npm library smpp 0.5.1, written by others. It is left out where it is known to be at fault:
 * it decodes and encodes no text here, since its coder turns characters outside the alphabet into "@".
 */

let server: Server
let session: LibrarySession
let seen: LibraryPdu[]
let gateway: Gateway
let texts: IncomingText[]
let receipts: Receipt[]

function serve(given: LibrarySession): void {
  session = given
  given.on('error', () => undefined)
  given.on('pdu', (pdu) => {
    seen.push(pdu)
    const { command } = pdu
    if (command === 'submit_sm') given.send(pdu.response({ message_id: '33E95179' }))
    else if (['bind_transceiver', 'enquire_link', 'unbind'].includes(command)) given.send(pdu.response())
  })
}

beforeEach(async () => {
  ;[seen, texts, receipts] = [[], [], []]
  server = smpp.createServer(serve)
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  // A server that listens on a port has an address with a port.
  const { port } = server.address() as AddressInfo
  const config = SmppConfig.parse({
    kind: 'smpp',
    name: 'smpp',
    host: '127.0.0.1',
    port,
    systemId: 'duebell',
    source: { address: '70900', ton: 3, npi: 0 },
    messageIds: { inAnswers: 'hex', inReceipts: 'decimal' },
    timing: { enquireMs: 20 },
  })
  gateway = smppGateway({ config, secrets: {}, clock: stillClock, log: quietLog, random: () => 0 })
  await gateway.open({
    onText: (text) => Promise.resolve(void texts.push(text)),
    onReceipt: (receipt) => Promise.resolve(void receipts.push(receipt)),
    onScreen: (request) => Promise.resolve({ text: `[${request.typed}]`, ends: false }),
  })
})

afterEach(async () => {
  await gateway.close()
  await new Promise((resolve) => server.close(resolve))
})

const reminder = { id: 'm1', to: '+447700900123', body: 'Vaccines {Tue} 5€', validUntil: null, urgent: false }

function deliver(fields: object): Promise<LibraryPdu> {
  return new Promise((resolve) => {
    session.deliver_sm(
      {
        source_addr: '447700900123',
        source_addr_ton: 1,
        destination_addr: '70900',
        data_coding: 0,
        ...fields,
      },
      resolve,
    )
  })
}

describe('with a peer written by others', () => {
  test('binds in version 3.4, and unbinds at the end', async () => {
    await gateway.close()

    expect(seen[0]).toMatchObject({
      command: 'bind_transceiver',
      system_id: 'duebell',
      interface_version: 0x34,
    })
    expect(seen.at(-1)?.command).toBe('unbind')
  })

  test('asks whether the peer is there, and answers the same question', async () => {
    while (!seen.some(({ command }) => command === 'enquire_link'))
      await new Promise((resolve) => setImmediate(resolve))
    const answer = await new Promise<LibraryPdu>((resolve) => {
      session.enquire_link(resolve)
    })

    expect(answer).toMatchObject({ command: 'enquire_link_resp', command_status: 0 })
    expect(gateway.isUp?.()).toBe(true)
  })

  test('submits a text whose octets are those of 3GPP TS 23.038', async () => {
    expect(await gateway.submit(reminder)).toEqual({ kind: 'accepted', providerIds: ['870928761'] })

    const submit = seen.find(({ command }) => command === 'submit_sm')
    expect(submit).toMatchObject({
      source_addr: '70900',
      destination_addr: '447700900123',
      dest_addr_ton: 1,
      dest_addr_npi: 1,
      esm_class: 0,
      data_coding: 0,
      registered_delivery: 1,
    })
    // The library decodes this one rightly: no character of it is beyond its coder.
    expect(submit?.['short_message']).toMatchObject({ message: reminder.body })
  })

  test('submits a long text in parts whose headers it understands', async () => {
    await gateway.submit({ ...reminder, body: 'a'.repeat(300) })

    const parts = seen.filter(({ command }) => command === 'submit_sm')
    const headers = parts.map(
      (part) => z.object({ udh: z.array(z.instanceof(Buffer)) }).parse(part['short_message']).udh[0],
    )
    expect(parts.map((part) => part['esm_class'])).toEqual([0x40, 0x40])
    expect(headers.map((header) => header?.subarray(0, 2).toString('hex'))).toEqual(['0003', '0003'])
    expect(headers.map((header) => header?.subarray(3).toString('hex'))).toEqual(['0201', '0202'])
    expect(headers[0]?.[2]).toBe(headers[1]?.[2])
  })

  test('takes a text in, and a receipt by TLVs or by words', async () => {
    expect(await deliver({ short_message: Buffer.from('WHEN') })).toMatchObject({
      command: 'deliver_sm_resp',
      command_status: 0,
    })
    await deliver({ esm_class: 4, receipted_message_id: '870928761', message_state: 2 })
    await deliver({
      esm_class: 4,
      short_message: Buffer.from('id:0870928761 sub:001 dlvrd:001 stat:DELIVRD err:000 text:x'),
    })

    expect(texts).toMatchObject([{ from: '+447700900123', to: '70900', body: 'WHEN' }])
    expect(receipts).toMatchObject([
      { providerId: '870928761', state: 'delivered' },
      { providerId: '870928761', state: 'delivered' },
    ])
  })

  test('shows a USSD screen', async () => {
    await deliver({
      short_message: Buffer.from('*7709#'),
      data_coding: 0x0f,
      ussd_service_op: 1,
      its_session_info: Buffer.from([7, 0]),
    })
    while (!seen.some(({ command }) => command === 'submit_sm'))
      await new Promise((resolve) => setImmediate(resolve))

    expect(seen.find(({ command }) => command === 'submit_sm')).toMatchObject({
      service_type: 'USSD',
      destination_addr: '447700900123',
      ussd_service_op: 2,
    })
  })
})
