import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { TAGS } from '../../src/gateway/smpp/commands.ts'
import { SmppConfig } from '../../src/gateway/smpp/smpp-config.ts'
import { smppGateway } from '../../src/gateway/smpp/smpp-gateway.ts'
import { startTestSmsc } from '../support/test-smsc.ts'
import { quietLog, stillClock } from './network.ts'

/* An independent reading of what this side puts on the wire, by the dissector of tshark (Debian package tshark). */

/** The dissector, a program of the Debian package of the same name. */
const TSHARK = 'tshark'
const hasTshark = spawnSync(TSHARK, ['-v']).status === 0
const LONG = 'a'.repeat(300)
const reminder = {
  id: 'm',
  to: '+447700900123',
  body: 'Hello',
  validUntil: new Date('2026-05-06T10:20:30Z'),
  urgent: false,
}

/** What the gateway writes while it does everything it can, one PDU each. */
async function pdusOnTheWire(): Promise<Buffer[]> {
  const octets: Buffer[] = []
  for (const longTexts of ['udh-8', 'udh-16', 'sar', 'payload'] as const) {
    const smsc = await startTestSmsc()
    const config = SmppConfig.parse({
      kind: 'smpp',
      name: 'smpp',
      host: '127.0.0.1',
      port: smsc.port,
      systemId: 'duebell',
      systemType: 'texts',
      source: { address: '70900', ton: 3, npi: 0 },
      longTexts,
    })
    // The first reference is 200 (0xc8) for one octet.
    const random = (): number => 199 / 0x10000
    const gateway = smppGateway({ config, secrets: {}, clock: stillClock, log: quietLog, random })
    await gateway.open({
      onText: () => Promise.resolve(),
      onReceipt: () => Promise.resolve(),
      onScreen: () => Promise.resolve({ text: 'Choose', ends: false }),
    })
    await gateway.submit({ ...reminder, body: LONG })
    await gateway.submit(reminder)
    await gateway.submit({ ...reminder, body: 'कल' })
    await smsc.deliver({ source: '447700900123', sourceTon: 1, shortMessage: Buffer.from('WHEN') })
    const tlvs = new Map([
      [TAGS.ussdServiceOp, Buffer.from([1])],
      [TAGS.itsSessionInfo, Buffer.from([7, 2])],
    ])
    await smsc.deliver({ source: '447700900123', destination: '7709', tlvs })
    await smsc.ask('enquire_link')
    await gateway.close()
    octets.push(...smsc.seen.map((seen) => seen.octets))
    await smsc.stop()
  }
  return octets
}

/** A capture file (libpcap, raw IP) with one TCP segment to port 2775 for each PDU. */
function capture(pdus: readonly Buffer[]): Buffer {
  const header = Buffer.alloc(24)
  header.writeUInt32LE(0xa1b2c3d4, 0)
  header.writeUInt16LE(2, 4)
  header.writeUInt16LE(4, 6)
  header.writeUInt32LE(0x40000, 16)
  header.writeUInt32LE(101, 20)
  let sequence = 1
  const records = pdus.map((pdu) => {
    const packet = Buffer.concat([tcpIpHeader(pdu.length, sequence), pdu])
    sequence += pdu.length
    const record = Buffer.alloc(16)
    record.writeUInt32LE(packet.length, 8)
    record.writeUInt32LE(packet.length, 12)
    return Buffer.concat([record, packet])
  })
  return Buffer.concat([header, ...records])
}

/** IPv4 and TCP headers, without checksums, which tshark does not ask for. */
function tcpIpHeader(payload: number, sequence: number): Buffer {
  const octets = Buffer.alloc(40)
  octets.writeUInt8(0x45, 0)
  octets.writeUInt16BE(40 + payload, 2)
  octets.writeUInt8(64, 8)
  octets.writeUInt8(6, 9)
  octets.writeUInt32BE(0x7f000001, 12)
  octets.writeUInt32BE(0x7f000001, 16)
  octets.writeUInt16BE(40000, 20)
  octets.writeUInt16BE(2775, 22)
  octets.writeUInt32BE(sequence, 24)
  octets.writeUInt8(0x50, 32)
  octets.writeUInt8(0x18, 33)
  octets.writeUInt16BE(0xffff, 34)
  return octets
}

function tshark(file: string, ...more: string[]): string[] {
  const run = spawnSync(TSHARK, ['-r', file, '-o', 'tcp.desegment_tcp_streams:TRUE', ...more], {
    encoding: 'utf8',
  })
  if (run.status !== 0) throw new Error(run.stderr)
  return run.stdout.split('\n').filter((line) => line !== '')
}

function fields(file: string, filter: string, ...names: string[]): string[][] {
  const wanted = names.flatMap((name) => ['-e', name])
  return tshark(file, '-Y', filter, '-T', 'fields', '-E', 'occurrence=f', ...wanted).map((line) =>
    line.split('\t'),
  )
}

if (hasTshark) {
  describe('what this side puts on the wire, read by tshark', () => {
    let folder: string
    let file: string
    let pdus: Buffer[]

    beforeAll(async () => {
      folder = mkdtempSync(join(tmpdir(), 'duebell-dissect-'))
      file = join(folder, 'pdus.pcap')
      pdus = await pdusOnTheWire()
      writeFileSync(file, capture(pdus))
    })

    afterAll(() => {
      rmSync(folder, { recursive: true })
    })

    test('is one SMPP PDU after the other, none malformed', () => {
      expect(fields(file, 'smpp', 'smpp.command_id')).toHaveLength(pdus.length)
      expect(tshark(file, '-Y', '_ws.malformed || _ws.expert.severity == error')).toEqual([])
    })

    test('binds in version 3.4 with the account’s names', () => {
      const [bind] = fields(
        file,
        'smpp.command_id == 9',
        'smpp.system_id',
        'smpp.system_type',
        'smpp.interface_version',
      )

      expect(bind).toEqual(['duebell', 'texts', String(0x34)])
    })

    test('says how long a text is of use', () => {
      const [text] = fields(
        file,
        'smpp.command_id == 4',
        'smpp.validity_period',
        'smpp.destination_addr',
        'smpp.regdel.receipt',
      )

      expect(text).toEqual(['May  6, 2026 10:20:30.000000000 UTC', '447700900123', '0x01'])
    })

    test('codes a plain text as default and Devanagari as UCS-2', () => {
      const codings = fields(
        file,
        'smpp.command_id == 4 && smpp.esm.submit.features == 0 && !smpp.opt_params',
        'smpp.data_coding',
        'smpp.message',
      )

      expect(codings).toContainEqual(['0x00', '48656c6c6f'])
      expect(codings).toContainEqual(['0x08', '09150932'])
    })

    test('heads the parts of a long text with 8-bit or 16-bit references', () => {
      const parts = fields(
        file,
        'gsm_sms.udh.mm.msg_id',
        ...['msg_id', 'msg_parts', 'msg_part'].map((name) => `gsm_sms.udh.mm.${name}`),
      )

      expect(parts).toEqual([
        ['200', '2', '1'],
        ['200', '2', '2'],
        ['200', '2', '1'],
        ['200', '2', '2'],
      ])
    })

    test('marks the parts by TLVs where the account wants that', () => {
      const parts = fields(
        file,
        'smpp.sar_msg_ref_num',
        'smpp.sar_msg_ref_num',
        'smpp.sar_total_segments',
        'smpp.sar_segment_seqnum',
      )

      expect(parts).toEqual([
        ['200', '2', '1'],
        ['200', '2', '2'],
      ])
    })

    test('carries a whole text in a payload where the account wants that', () => {
      expect(fields(file, 'smpp.message_payload', 'smpp.sm_length', 'smpp.message_payload')).toEqual([
        ['0', Buffer.from(LONG).toString('hex')],
      ])
    })

    test('asks for keys in the USSD session it was asked in', () => {
      const screens = fields(
        file,
        'smpp.ussd_service_op',
        'smpp.ussd_service_op',
        'smpp.its_session.number',
        'smpp.its_session.sequence',
        'smpp.its_session.ind',
      )

      expect(screens).toEqual(Array.from({ length: 4 }, () => ['2', '7', '0x02', '0x00']))
    })
  })
} else {
  test('reading our PDUs with tshark is left out, since tshark is not installed', () => {
    process.stderr.write('Left out: the dissector check of our SMPP; it needs the Debian package tshark.\n')
    expect(process.env['CI']).not.toBe('true')
  })
}
