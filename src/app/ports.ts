/**
 * What the use cases need from outside. Only what a test must be able to replace is a port;
 * the store is used as it is.
 */

/** The time, as an instant. */
export interface Clock {
  readonly now: () => Date
}

/** A secret of 256 random bits in Base64url. */
export type NewSecret = () => string

/** A new unguessable identifier (UUID version 7: sorts by time of making). */
export type NewId = () => string

/** Structured log; `facts` never hold a name, a phone number or the words of a text. */
export interface Log {
  readonly info: (message: string, facts?: LogFacts) => void
  readonly warn: (message: string, facts?: LogFacts) => void
  readonly error: (message: string, facts?: LogFacts) => void
}
export type LogFacts = Readonly<Record<string, unknown>>

/** A text on its way to a phone. */
export interface OutgoingText {
  /** Our message id; a gateway that can, uses it so that a repeat is not sent twice. */
  readonly id: string
  /** E.164 with "+". */
  readonly to: string
  readonly body: string
  /** After this instant the text is of no use and must not arrive. */
  readonly validUntil: Date | null
  /** From this instant on it may not leave, since the sending hours are over; absent or null: at any hour. */
  readonly leaveBefore?: Date | null
  /** A reply or a warning goes ahead of reminders. */
  readonly urgent: boolean
}

/** What became of a submitted text, as far as the gateway said. */
export type SubmitAnswer =
  /** Taken over; one provider id for each part sent, used to match receipts. */
  | { readonly kind: 'accepted'; readonly providerIds: readonly string[] }
  /** Refused for good: this number, or this text, will never go. */
  | { readonly kind: 'rejected'; readonly fault: 'number' | 'message' | 'account'; readonly reason: string }
  /** Not taken over; nothing was sent; try again after a while. */
  | { readonly kind: 'try-later'; readonly reason: string; readonly retryAfterMs: number | null }
  /** It may or may not have been taken over (no answer came). */
  | { readonly kind: 'unclear'; readonly reason: string }

/** A text that came in, before anyone has read it. */
export interface IncomingText {
  readonly gateway: string
  /** The provider's id or a digest of what arrived: the same text delivered again has the same key. */
  readonly key: string
  /** E.164 with "+", or the sender's name or short code as it came. */
  readonly from: string
  /** The number it was sent to, as it came. */
  readonly to: string
  readonly body: string
  /** How many parts of a long text never came; absent when the text is whole. Nothing may be recorded from a torn one. */
  readonly missingParts?: number
  /** True when it was no text at all: `body` is then its octets in hexadecimal. */
  readonly isBinary?: true
}

/** What the network says became of a text. */
export interface Receipt {
  readonly gateway: string
  readonly providerId: string
  readonly state: 'delivered' | 'undelivered' | 'under-way' | 'unknown'
  readonly reason: string | null
  /** When the network says it happened; `null` where it does not say. */
  readonly at: Date | null
}

/** One step of a USSD dialogue. */
export interface ScreenRequest {
  readonly gateway: string
  /** The network's dialogue id. */
  readonly dialogue: string
  readonly from: string
  /** What was typed since the last screen; the dialled code for the first one. */
  readonly typed: string
  readonly isFirst: boolean
  /** The same step delivered again has the same key; absent where the network gives none. */
  readonly key?: string
}

export interface ScreenAnswer {
  readonly text: string
  /** True when the dialogue ends with this screen. */
  readonly ends: boolean
}

/** What a gateway calls when something arrives; each resolves once the arrival is safely stored. */
export interface GatewayHandlers {
  readonly onText: (text: IncomingText) => Promise<void>
  readonly onReceipt: (receipt: Receipt) => Promise<void>
  readonly onScreen: (request: ScreenRequest) => Promise<ScreenAnswer>
}

/** A part of a gateway that goes at its own speed and is in trouble by itself: one account or provider. */
export interface Lane {
  /** Lower-case letters, digits and hyphens. */
  readonly name: string
  /** The numbers it serves, in E.164 with "+"; the longest prefix that fits wins, "" fits every number. */
  readonly prefixes: readonly string[]
  /** True when repeating `submit` with the same id never sends twice. */
  readonly isIdempotent: boolean
  /** How many texts are worth giving it at once. */
  readonly atOnce: number
  /** How long `submit` may take for each part, waiting for its turn included. */
  readonly answersWithinMs: number
  readonly isUp: () => boolean
}

/** One of several gateways, and the prefixes of its numbers. */
export interface Member {
  readonly prefixes: readonly string[]
  readonly gateway: Gateway
}

/** A way to phones. The same contract suite runs on every adapter. */
export interface Gateway extends Partial<Pick<Lane, 'atOnce' | 'answersWithinMs'>> {
  readonly name: string
  /** True when repeating `submit` with the same id never sends twice. */
  readonly isIdempotent: boolean
  /** Starts receiving; call before `submit`. */
  readonly open: (handlers: GatewayHandlers) => Promise<void>
  /** Sends one text, in as many parts as it needs; never throws. */
  readonly submit: (text: OutgoingText) => Promise<SubmitAnswer>
  /** False while the way to the network is down; absent where there is no lasting link. */
  readonly isUp?: () => boolean
  /** After a restart: asks again about texts whose end is not known; absent where networks tell by themselves. */
  readonly followReceipts?: (providerIds: readonly string[]) => void
  /** Where the gateway is several, by the numbers each serves; absent where it is one lane for every number. */
  readonly members?: readonly Member[]
  /** Stops receiving, waits for answers under way, frees everything. */
  readonly close: () => Promise<void>
}

/** A provider's HTTP request to us, as raw as it came: its bytes may be in any encoding. */
export interface CallbackRequest {
  readonly method: string
  /** Names in lower case. */
  readonly headers: Readonly<Record<string, string | undefined>>
  /** What stands after "?" in the address, undecoded; "" when there is none. */
  readonly query: string
  readonly body: Buffer
}

export interface CallbackAnswer {
  readonly status: number
  readonly contentType: string
  readonly body: string
}

/**
 * The side of an HTTP-borne gateway that answers the provider's requests; `purpose` is `text`, `receipt` or `screen`.
 * @throws {Refusal} route-not-found, signature-invalid, body-malformed, input-invalid
 */
export interface CallbackReceiver {
  readonly receive: (purpose: string, request: CallbackRequest) => Promise<CallbackAnswer>
}

/** A call to another system. */
export interface WebhookPost {
  readonly url: string
  readonly headers: Readonly<Record<string, string>>
  readonly body: string
}

/** What came of a call. */
export type WebhookAnswer =
  | { readonly kind: 'answered'; readonly status: number; readonly retryAfterMs: number | null }
  /** No answer came. */
  | { readonly kind: 'failed'; readonly reason: string }
  /** It may not be called; nothing was sent. */
  | { readonly kind: 'forbidden'; readonly reason: string }

/** Calls other systems at addresses that people typed; never throws, and never calls into private networks. */
export interface WebhookPoster {
  readonly post: (post: WebhookPost) => Promise<WebhookAnswer>
}

/**
 * Carries work to the workers soon. It is a hint: it never fails and never throws, and what it loses is found again
 * by the sweeps, for every piece of work is a row in the store before it is a hint.
 */
export interface Conveyor {
  readonly readText: (textInId: string) => Promise<void>
  readonly sendText: (text: { readonly id: string; readonly number: string }) => Promise<void>
  /** Reminders of a lane are due. */
  readonly handOver: (lane: string) => Promise<void>
  /** Calls a webhook. */
  readonly callWebhook: (callId: string) => Promise<void>
}
