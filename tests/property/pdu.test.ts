import fc from 'fast-check'
import { COMMANDS, type CommandName } from '../../src/gateway/smpp/commands.ts'
import { cutFrames } from '../../src/gateway/smpp/pdu-frames.ts'
import { decodePdu, encodePdu, makePdu, type Pdu } from '../../src/gateway/smpp/pdu.ts'

const octet = fc.integer({ min: 0, max: 255 })
const octets = (maxLength: number) => fc.uint8Array({ maxLength }).map((bytes) => Buffer.from(bytes))
const latin = (maxLength: number) =>
  fc.string({ unit: fc.integer({ min: 1, max: 255 }).map((code) => String.fromCharCode(code)), maxLength })

/** A value for each field by its name; those of no command in use are never asked for. */
const FIELD_VALUES: Readonly<Record<string, fc.Arbitrary<unknown>>> = {
  systemId: latin(15),
  password: latin(8),
  systemType: latin(12),
  addressRange: latin(40),
  serviceType: latin(5),
  source: latin(20),
  destination: latin(20),
  deliverAt: latin(16),
  validUntil: latin(16),
  messageId: latin(64),
  shortMessage: octets(254),
}

const anyPdu: fc.Arbitrary<Pdu> = fc
  .constantFrom(...(Object.keys(COMMANDS) as CommandName[]))
  .chain((command) => {
    const values = Object.keys(COMMANDS[command].fields).map(
      (name) => [name, FIELD_VALUES[name] ?? octet] as const,
    )
    const tlvs = fc
      .array(fc.tuple(fc.integer({ min: 0, max: 0xffff }), octets(40)), { maxLength: 4 })
      .map((pairs) => new Map(pairs))
    const envelope = { status: fc.nat(0x7fffffff), sequence: fc.integer({ min: 1, max: 0x7fffffff }), tlvs }
    return fc.record({ ...Object.fromEntries(values), ...envelope }).map((parts) => makePdu(command, parts))
  })

describe('the PDU codec', () => {
  test('reads back whatever it wrote', () => {
    fc.assert(
      fc.property(anyPdu, (pdu) => {
        expect(decodePdu(encodePdu(pdu))).toEqual({ kind: 'pdu', pdu })
      }),
    )
  })

  test('says something of any octets at all, and never throws', () => {
    fc.assert(
      fc.property(
        octets(300),
        fc.constantFrom(...Object.values(COMMANDS)),
        fc.boolean(),
        (bytes, { id }, isFramed) => {
          if (isFramed && bytes.length >= 8) {
            bytes.writeUInt32BE(bytes.length, 0)
            bytes.writeUInt32BE(id, 4)
          }
          expect(['pdu', 'unknown-command', 'malformed']).toContain(decodePdu(bytes).kind)
        },
      ),
      { numRuns: 2000 },
    )
  })

  test('says something of any octet changed, any octets cut off, in a good PDU', () => {
    fc.assert(
      fc.property(anyPdu, fc.nat(), octet, fc.nat(), (pdu, at, value, end) => {
        const whole = encodePdu(pdu)
        whole[at % whole.length] = value
        const cut = whole.subarray(0, end % (whole.length + 1))
        if (cut.length >= 4) cut.writeUInt32BE(cut.length, 0)

        expect(['pdu', 'unknown-command', 'malformed']).toContain(decodePdu(cut).kind)
      }),
    )
  })

  test('writes again what it read, octet for octet, where nothing was repeated or left out', () => {
    fc.assert(
      fc.property(anyPdu, (pdu) => {
        const once = encodePdu(pdu)
        const decoded = decodePdu(once)
        if (decoded.kind === 'pdu') expect(encodePdu(decoded.pdu)).toEqual(once)
      }),
    )
  })

  test('finds the same PDUs however the stream is cut into chunks', () => {
    fc.assert(
      fc.property(
        fc.array(anyPdu, { maxLength: 5 }),
        fc.array(fc.integer({ min: 1, max: 60 })),
        (pdus, sizes) => {
          const written = pdus.map((pdu) => encodePdu(pdu))
          let left = Buffer.concat(written)
          let rest: Buffer = Buffer.alloc(0)
          const found: Buffer[] = []
          for (const size of [...sizes, left.length]) {
            const cut = cutFrames(rest, left.subarray(0, size))
            left = left.subarray(size)
            rest = cut.rest
            found.push(...cut.frames)
            expect(cut.isLost).toBe(false)
          }
          expect(found).toEqual(written)
        },
      ),
    )
  })
})
