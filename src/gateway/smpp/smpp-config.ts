import { IANAZone } from 'luxon'
import { z } from 'zod'

const Octet = z.int().min(0).max(255)
const Ms = z.int().min(1).max(86_400_000)
const Latin = z.string().regex(/^[\x20-\x7e]*$/)

/** How this SMSC writes a message id. */
const MessageIdForm = z.enum(['text', 'text-without-zeros', 'hex', 'decimal'])

const Timing = z.strictObject({
  /** How long connecting may take, TLS and bind included. */
  connectMs: Ms.default(10_000),
  /** After so long without an answer it is unclear whether a part was taken. */
  answerMs: Ms.default(30_000),
  /** After so much silence the SMSC is asked whether it is still there. */
  enquireMs: Ms.default(30_000),
  /** So many such questions unanswered in a row, and the connection is given up. */
  silentEnquiries: z.int().min(1).default(2),
  /** Pause before the first try to connect again; it doubles, with jitter, up to the longest. */
  firstRetryMs: Ms.default(1_000),
  longestRetryMs: Ms.default(60_000),
  /** Pause after a refusal that says the account is wrong; more tries might get it locked. */
  hopelessRetryMs: Ms.default(600_000),
  /** Pause of the whole bind when the SMSC says "too fast"; it doubles, with jitter, up to the longest. */
  firstPauseMs: Ms.default(500),
  longestPauseMs: Ms.default(30_000),
  /** How long a part may wait for its turn, throttling included, before the text is given back. */
  patienceMs: Ms.default(60_000),
  /** How long the answer to one part of an incoming text waits for the other parts. */
  holdPartMs: Ms.default(1_000),
  /** After so long a text whose parts did not all come is passed on torn. */
  joinPartsMs: Ms.default(600_000),
})

/** One account at a message centre, spoken to by SMPP 3.4. */
export const SmppConfig = z
  .strictObject({
    kind: z.literal('smpp'),
    name: z.string().regex(/^[a-z0-9-]+$/),
    host: z.string().min(1),
    port: z.int().min(1).max(65_535).default(2775),
    /** `null` is plain TCP. `caSecret` names a PEM certificate to trust instead of the usual ones. */
    tls: z
      .strictObject({ serverName: z.string().optional(), caSecret: z.string().optional() })
      .nullable()
      .default(null),
    systemId: Latin.max(15),
    /** The name of the secret that is the password (at most 8 octets). */
    passwordSecret: z.string().nullable().default(null),
    systemType: Latin.max(12).default(''),
    /** Which incoming numbers this bind serves; "" leaves it to the SMSC. */
    addressRange: Latin.max(40).default(''),
    bindAs: z.enum(['transceiver', 'transmitter-and-receiver']).default('transceiver'),
    /** Requests that may wait for an answer at one time. */
    window: z.int().min(1).max(1000).default(10),
    /** `null` is as fast as the window allows. */
    partsPerSecond: z.number().positive().nullable().default(null),
    timing: Timing.prefault({}),
    /** Whom texts come from: ton 5 for a name, 3 for a short code, 1 for an international number. */
    source: z.strictObject({ address: Latin.min(1).max(20), ton: Octet, npi: Octet }),
    /** How incoming numbers of unknown type are written. */
    numbers: z.enum(['plus', 'bare']).default('plus'),
    /** What the SMSC takes for plain texts; data_coding 0 is its own choice of alphabet, so this is found by trying. */
    plain: z
      .strictObject({
        dataCoding: Octet.default(0),
        alphabet: z.enum(['gsm7', 'latin1', 'ascii']).default('gsm7'),
      })
      .prefault({}),
    unicodeDataCoding: Octet.default(8),
    /** The language whose national shift tables the route was shown to carry. */
    national: z.enum(['turkish', 'spanish', 'portuguese', 'hindi']).optional(),
    /** How the parts of a long text are marked: in the text's header, by TLVs, or one PDU with all of it. */
    longTexts: z.enum(['udh-8', 'udh-16', 'sar', 'payload']).default('udh-8'),
    wantsReceipts: z.boolean().default(true),
    messageIds: z
      .strictObject({ inAnswers: MessageIdForm.default('text'), inReceipts: MessageIdForm.default('text') })
      .prefault({}),
    /** The SMSC's time zone, for the dates in receipts; `null` is unknown. */
    receiptZone: z
      .string()
      .refine((zone) => IANAZone.isValidZone(zone), 'no such time zone')
      .nullable()
      .default(null),
    /** What codes of the vendor's own mean, by "0x401". */
    vendorStatuses: z
      .record(
        z.string().regex(/^0x[0-9a-f]{2,8}$/),
        z.enum([
          'congested',
          'try-later',
          'rebind',
          'rejected-account',
          'rejected-number',
          'rejected-message',
        ]),
      )
      .default({}),
    /** How USSD screens are coded; by default in the scheme of cell broadcast (3GPP TS 23.038 §5). */
    screens: z
      .strictObject({
        plainDataCoding: Octet.default(0x0f),
        unicodeDataCoding: Octet.default(0x48),
        isPacked: z.boolean().default(false),
      })
      .prefault({}),
  })
  .refine(({ national, plain }) => national === undefined || plain.alphabet === 'gsm7', {
    error: 'national tables shift the GSM alphabet, and no other',
  })
  .refine(({ national, longTexts }) => national === undefined || longTexts.startsWith('udh'), {
    error: 'national tables need long texts in udh-8 or udh-16',
  })

/** A checked account, every default filled in. */
export type SmppConfig = z.infer<typeof SmppConfig>

/** The names of the secrets an account needs. */
export function secretsOfSmpp({ passwordSecret, tls }: SmppConfig): string[] {
  return [passwordSecret, tls?.caSecret].filter((name) => name != null)
}
