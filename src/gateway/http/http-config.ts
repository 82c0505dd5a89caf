import { z } from 'zod'
import { placeholdersOf, type Template } from './template.ts'

/** A dotted path to a field of what the provider sends; `*` stands for every item of a list. */
const Path = z.string().min(1)
const Ms = z.int().min(1).max(3_600_000)

/** Refuses placeholders other than the named ones and `{{secret.NAME}}`, so that a typing error shows at start. */
function onlyPlaceholders(names: readonly string[]) {
  return (template: unknown, context: z.RefinementCtx): void => {
    for (const name of placeholdersOf(template)) {
      if (names.includes(name) || name.startsWith('secret.')) continue
      context.addIssue({
        code: 'custom',
        message: `{{${name}}} means nothing here; known: ${names.join(', ')}`,
      })
    }
  }
}

const jsonWith = (names: readonly string[]) => z.json().superRefine(onlyPlaceholders(names))
const textWith = (names: readonly string[]) => z.string().superRefine(onlyPlaceholders(names))

/** A request of ours to the provider. */
function requestWith(names: readonly string[]) {
  return z.strictObject({
    method: z.enum(['GET', 'POST', 'PUT']).default('POST'),
    /** Values put into the address are percent-encoded. */
    url: textWith(names),
    headers: z.record(z.string(), textWith(names)).default({}),
    /** How the content is written: JSON, a form, or as it stands. Left out, there is no body. */
    body: z.strictObject({ contentType: z.string(), content: jsonWith(names) }).optional(),
    timeoutMs: Ms.default(15_000),
  })
}

/** What a provider's answer means. The first rule that fits counts; no condition fits always. */
const AnswerRule = z.strictObject({
  status: z.array(z.int()).optional(),
  field: Path.optional(),
  /** Compared as text; left out, it is enough that the field is there. */
  is: z.array(z.string()).optional(),
  means: z.enum([
    'accepted',
    'rejected-number',
    'rejected-message',
    'rejected-account',
    'try-later',
    'unclear',
  ]),
})

/** An answer of ours to the provider. */
function answerWith(names: readonly string[]) {
  return z.strictObject({
    status: z.int().min(200).max(299).default(200),
    contentType: z.string().default('application/json'),
    content: jsonWith(names),
  })
}

const TextArrival = z.strictObject({
  /** Path to the list when one request brings several texts. */
  each: Path.optional(),
  fields: z.strictObject({
    /** The provider's own id of the text; without one, its content and the time tell repeats. */
    key: Path.optional(),
    from: Path,
    to: Path.optional(),
    body: Path,
  }),
  answer: answerWith([]).prefault({ content: {} }),
})

const ReceiptFields = z.strictObject({
  each: Path.optional(),
  fields: z.strictObject({ providerId: Path, state: Path, reason: Path.optional(), at: Path.optional() }),
  /** The provider's words for each state; any other word is `unknown`. */
  states: z.record(z.string(), z.enum(['delivered', 'undelivered', 'under-way', 'unknown'])),
  atIs: z.enum(['iso', 'seconds', 'milliseconds']).default('iso'),
})

const ScreenArrival = z.strictObject({
  fields: z.strictObject({ dialogue: Path, from: Path, typed: Path, code: Path.optional() }),
  /** `last-step`: the field holds what was typed since the last screen; `whole-trail`: all of it so far. */
  typedIs: z.enum(['last-step', 'whole-trail']).default('last-step'),
  /** What stands between the steps of a whole trail. */
  separator: z.string().min(1).default('*'),
  /** How the first request of a dialogue is told; left out, nothing has been typed in it. */
  first: z.strictObject({ field: Path, is: z.array(z.string()).min(1) }).optional(),
  continues: answerWith(['text', 'dialogue']),
  ends: answerWith(['text', 'dialogue']),
})

const Secrets = z.array(z.string()).min(1)

/** A signature over what was sent; a time that is not signed proves nothing, so both are named or neither. */
const Hmac = z
  .strictObject({
    kind: z.literal('hmac'),
    header: z.string().toLowerCase(),
    /** What stands before the digest in the header. */
    prefix: z.string().default(''),
    algorithm: z.enum(['sha256', 'sha512']).default('sha256'),
    encoding: z.enum(['hex', 'base64']).default('hex'),
    /** What is signed, byte for byte. */
    signs: textWith(['timestamp', 'body', 'query']).default('{{timestamp}}.{{body}}'),
    /** Without one, a request is new when its signature was not seen within the window. */
    timestampHeader: z.string().toLowerCase().optional(),
    timestampIs: z.enum(['iso', 'seconds', 'milliseconds']).default('seconds'),
    /** How far the timestamp may lie from our clock. */
    windowSeconds: z.int().min(1).max(3600).default(300),
    secrets: Secrets,
  })
  .refine(
    ({ signs, timestampHeader }) => signs.includes('{{timestamp}}') === (timestampHeader !== undefined),
    {
      error: 'name timestampHeader and sign {{timestamp}}, or do neither',
    },
  )

/** How the provider proves that a request is its own; several secrets may hold while one is replaced. */
const Proof = z.discriminatedUnion('kind', [
  Hmac,
  z.strictObject({ kind: z.literal('token'), header: z.string().toLowerCase(), secrets: Secrets }),
  /** Only behind something else that lets nobody but the provider through. */
  z.strictObject({ kind: z.literal('none') }),
])

/** A provider of texts and USSD over HTTP, described so that no code need know it. */
export const HttpGatewayConfig = z.strictObject({
  kind: z.literal('http'),
  name: z.string().regex(/^[a-z0-9-]+$/),
  /** `bare`: the provider writes international numbers without "+". */
  numbers: z.enum(['plus', 'bare']).default('plus'),
  submit: z.strictObject({
    request: requestWith(['id', 'to', 'toDigits', 'text', 'validUntil', 'validSeconds']),
    /** True only where the provider sends one text for two requests with the same `{{id}}`. */
    recognisesRepeats: z.boolean().default(false),
    /** Requests that may wait for an answer at one time. */
    window: z.int().min(1).max(1000).default(10),
    /** `null` is as fast as the window allows. */
    textsPerSecond: z.number().positive().nullable().default(null),
    /** How long a text may wait for its turn before it is given back. */
    patienceMs: Ms.default(60_000),
    answers: z.array(AnswerRule).default([]),
    /** Where the answer holds the provider's ids; left out, receipts come with our own id. */
    providerIds: Path.optional(),
    reason: Path.optional(),
  }),
  /** After so many troubles in a row the provider is left alone for a while. */
  breaker: z.strictObject({ failures: z.int().min(1).default(5), restMs: Ms.default(30_000) }).prefault({}),
  receive: z
    .strictObject({
      proof: Proof,
      text: TextArrival.optional(),
      receipt: ReceiptFields.extend({ answer: answerWith([]).prefault({ content: {} }) }).optional(),
      screen: ScreenArrival.optional(),
    })
    .optional(),
  /** For a provider that does not call back. */
  pollReceipts: ReceiptFields.extend({
    /** With `{{providerIds}}` it asks about the texts still open; without, for whatever is new. */
    request: requestWith(['providerIds']),
    everyMs: Ms.default(60_000),
    /** How many ids go into one request, with commas between. */
    batch: z.int().min(1).default(1),
    /** A text is asked about for so long. */
    forHours: z.int().min(1).default(72),
  }).optional(),
})

/** A checked description of a provider, every default filled in. */
export type HttpGatewayConfig = z.infer<typeof HttpGatewayConfig>
/** A request of ours to the provider. */
export type RequestConfig = HttpGatewayConfig['submit']['request']
/** What a provider's answer means. */
export type AnswerRule = z.infer<typeof AnswerRule>
/** An answer of ours to the provider. */
export interface AnswerConfig {
  readonly status: number
  readonly contentType: string
  readonly content: Template
}
/** Where the fields of an incoming text are. */
export type TextArrival = z.infer<typeof TextArrival>
/** Where the fields of a receipt are, and what the provider's words mean. */
export type ReceiptFields = z.infer<typeof ReceiptFields>
/** Where the fields of a USSD step are, and how it is answered. */
export type ScreenArrival = z.infer<typeof ScreenArrival>
/** How the provider proves that a request is its own. */
export type Proof = z.infer<typeof Proof>
/** The time as a provider may write it. */
export type TimeForm = ReceiptFields['atIs']

/** The names of all secrets a description needs, sorted. */
export function secretsOfHttp(config: HttpGatewayConfig): string[] {
  const inTemplates = placeholdersOf(config).flatMap((name) =>
    name.startsWith('secret.') ? [name.slice('secret.'.length)] : [],
  )
  const proof = config.receive?.proof
  const inProof = proof === undefined || proof.kind === 'none' ? [] : proof.secrets
  return [...new Set([...inTemplates, ...inProof])].sort()
}
