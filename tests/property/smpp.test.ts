import fc from 'fast-check'
import { measure } from '../../src/core/texts/segments.ts'
import { receiptOf } from '../../src/gateway/smpp/receipt.ts'
import { addPart, isWhole, NOTHING_JOINED, partsInOrder } from '../../src/gateway/smpp/joining.ts'
import { partOf, wordsOf } from '../../src/gateway/smpp/incoming-text.ts'
import { makePdu } from '../../src/gateway/smpp/pdu.ts'
import { readReceiptText } from '../../src/gateway/smpp/receipt-text.ts'
import { codeText, type CodingRules } from '../../src/gateway/smpp/text-coding.ts'
import { splitHeader } from '../../src/gateway/smpp/user-data-header.ts'

const GSM = '@£$¥èéùìòÇΔ_ÆæßÉ !"#%()*+,-./0123456789:;<=>?ABCXYZÄÖÑÜ§abcxyzäöñüà^{}\\[~]|€'
const text = fc.oneof(
  fc.string({ unit: fc.constantFrom(...Array.from(GSM)), maxLength: 500 }),
  fc.string({ unit: fc.constantFrom(...Array.from('कलटीका बच्चे 🙂é')), maxLength: 250 }),
  fc.string({ unit: 'grapheme', maxLength: 200 }).filter((body) => !body.includes('\u0000')),
)

const rules: fc.Arbitrary<CodingRules> = fc.record({
  plain: fc.constantFrom(
    { dataCoding: 0, alphabet: 'gsm7' } as const,
    { dataCoding: 3, alphabet: 'latin1' } as const,
    { dataCoding: 1, alphabet: 'ascii' } as const,
  ),
  unicodeDataCoding: fc.constant(8),
  national: fc.constant(undefined),
  longTexts: fc.constantFrom('udh-8', 'udh-16', 'sar', 'payload'),
  screens: fc.constant({ plainDataCoding: 0x0f, unicodeDataCoding: 0x48, isPacked: false }),
})

/** The parts of a coded text as if they had come from a phone. */
function partsOf(body: string, coding: CodingRules) {
  const { dataCoding, parts } = codeText(body, coding, 77)
  return parts.map((part) =>
    partOf(makePdu('deliver_sm', { source: '447700900123', dataCoding, ...part }), 'bare'),
  )
}

describe('coded texts', () => {
  test('come back the same from their parts, in whatever order and however often these come', () => {
    fc.assert(
      fc.property(text, rules, fc.array(fc.nat(), { maxLength: 12 }), (body, coding, order) => {
        const parts = partsOf(body, coding)
        const arriving = [
          ...order.flatMap((at) => parts.slice(at % parts.length, (at % parts.length) + 1)),
          ...parts,
        ]
        let joining = NOTHING_JOINED
        let joined = ''
        for (const part of arriving) {
          const step = addPart(joining, part, 0)
          joining = step.joining
          if (isWhole(step.group)) joined = wordsOf(partsInOrder(step.group), coding.plain.alphabet).body
        }

        expect(joined).toBe(body)
      }),
    )
  })

  test('keep every part within what a phone can hold, and their number to what was measured', () => {
    fc.assert(
      fc.property(text, (body) => {
        const coding = {
          plain: { dataCoding: 0, alphabet: 'gsm7' },
          unicodeDataCoding: 8,
          longTexts: 'udh-8',
        } as const
        const screens = { plainDataCoding: 0x0f, unicodeDataCoding: 0x48, isPacked: false }
        const { dataCoding, parts } = codeText(body, { ...coding, national: undefined, screens }, 1)

        expect(parts).toHaveLength(measure(body).parts)
        for (const { shortMessage, esmClass } of parts) {
          const header = esmClass === 0 ? 0 : (shortMessage[0] ?? 0) + 1
          const bits =
            dataCoding === 0
              ? Math.ceil((header * 8) / 7) * 7 + (shortMessage.length - header) * 7
              : shortMessage.length * 8
          expect(bits).toBeLessThanOrEqual(140 * 8)
        }
      }),
    )
  })
})

describe('what comes from an SMSC', () => {
  test('is split into header and text without losing or inventing an octet', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 160 }), (bytes) => {
        const octets = Buffer.from(bytes)
        const { octets: rest, place } = splitHeader(octets)

        expect(octets.subarray(octets.length - rest.length)).toEqual(rest)
        if (place !== null) expect(place.number >= 1 && place.number <= place.total).toBe(true)
      }),
    )
  })

  test('is a receipt or none, whatever its octets', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 160 }), fc.uint8Array({ maxLength: 6 }), (bytes, value) => {
        const tlvs = new Map([0x001e, 0x0423, 0x0427].map((tag) => [tag, Buffer.from(value)]))
        const arrival = makePdu('deliver_sm', { esmClass: 0x44, shortMessage: Buffer.from(bytes), tlvs })
        const config = {
          name: 's',
          messageIds: { inAnswers: 'hex', inReceipts: 'hex' },
          receiptZone: 'UTC',
        } as const

        expect(receiptOf(arrival, config)?.providerId).not.toBe('')
      }),
    )
  })

  test('never reads a receipt’s state out of the text it quotes', () => {
    fc.assert(
      fc.property(fc.string(), (quoted) => {
        expect(readReceiptText(`id:1 stat:UNDELIV err:001 text:${quoted}`)).toMatchObject({
          id: '1',
          state: 'UNDELIV',
        })
      }),
    )
  })
})
