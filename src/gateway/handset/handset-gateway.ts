import { setImmediate } from 'node:timers/promises'
import type {
  Clock,
  Gateway,
  GatewayHandlers,
  Log,
  NewId,
  OutgoingText,
  Receipt,
  SubmitAnswer,
} from '../../app/ports.ts'
import { AFTER_HOURS, isAfterHours } from '../too-late.ts'
import { underWay } from '../under-way.ts'
import { newKeypads, type Keypads } from './keypads.ts'
import { newPhones, type Phones } from './phones.ts'

/** What the network does with a text; left out, it takes it over, delivers it at once and says so. */
export interface Treatment {
  /** Given instead of "accepted". */
  readonly answer?: Exclude<SubmitAnswer, { kind: 'accepted' }>
  /** Whether the phone gets the text; by default it does when the text was accepted. */
  readonly arrives?: boolean
  /** The receipts given, in order; by default one, saying truly whether the phone got the text. */
  readonly receipts?: readonly Receipt['state'][]
  /** True when the receipts come before the answer. */
  readonly receiptsFirst?: boolean
}

/** What a handset gateway is built from. */
export interface HandsetOptions {
  readonly name: string
  /** The number people text to. */
  readonly shortCode: string
  readonly clock: Clock
  readonly newId: NewId
  readonly log: Log
}

/** A gateway whose phones are all in this process, and the hands that use them. */
export interface HandsetGateway extends Gateway, Keypads, Omit<Phones, 'deliver'> {
  /** Sends a text from a phone; the same `key` again is the same text delivered again. */
  readonly text: (from: string, body: string, key?: string) => Promise<void>
  /** Changes how texts are treated from now on. */
  readonly treat: (choose: (text: OutgoingText) => Treatment) => void
  /** Resolves when every receipt was given. */
  readonly settled: () => Promise<void>
}

/** What becomes of a text under a treatment; a text that is no longer of use does not arrive. */
function outcome(treatment: Treatment, { validUntil }: OutgoingText, now: Date) {
  const isTaken = treatment.answer === undefined
  const arrives = (treatment.arrives ?? isTaken) && (validUntil === null || now <= validUntil)
  const truth: Receipt['state'][] = isTaken ? [arrives ? 'delivered' : 'undelivered'] : []
  return { arrives, receipts: treatment.receipts ?? truth, receiptsFirst: treatment.receiptsFirst ?? false }
}

/** Builds an in-process gateway for the phone page, the demo and the tests. */
export function handsetGateway(options: HandsetOptions): HandsetGateway {
  const { name, shortCode, clock, newId, log } = options
  const phones = newPhones(clock)
  const work = underWay()
  let choose: (text: OutgoingText) => Treatment = () => ({})
  let opened: GatewayHandlers | null = null

  function handlers(): GatewayHandlers {
    if (opened === null) throw new Error(`gateway ${name} is not open`)
    return opened
  }

  const keypads = newKeypads(newId, (request) => handlers().onScreen({ gateway: name, ...request }))

  async function giveReceipts(providerId: string, states: readonly Receipt['state'][]): Promise<void> {
    for (const state of states) {
      try {
        await handlers().onReceipt({ gateway: name, providerId, state, reason: null, at: clock.now() })
      } catch (error) {
        log.error('receipt not stored', { gateway: name, error })
      }
    }
  }

  async function submit(text: OutgoingText): Promise<SubmitAnswer> {
    if (isAfterHours(text, clock)) return AFTER_HOURS
    const providerId = `handset-${text.id}`
    const treatment = choose(text)
    const { arrives, receipts, receiptsFirst } = outcome(treatment, text, clock.now())
    if (arrives) phones.deliver(text)
    if (receiptsFirst) await giveReceipts(providerId, receipts)
    else void work.add(setImmediate().then(() => giveReceipts(providerId, receipts)))
    return treatment.answer ?? { kind: 'accepted', providerIds: [providerId] }
  }

  async function send(from: string, body: string, key: string): Promise<void> {
    await handlers().onText({ gateway: name, key, from, to: shortCode, body })
  }

  return {
    name,
    isIdempotent: true,
    open: (given) => Promise.resolve(void (opened = given)),
    submit: (text) => work.add(submit(text)),
    close: work.settled,
    settled: work.settled,
    inbox: phones.inbox,
    onDelivered: phones.onDelivered,
    text: (from, body, key = newId()) => work.add(send(from, body, key)),
    dial: (from, code) => work.add(keypads.dial(from, code)),
    press: (from, typed, key) => work.add(keypads.press(from, typed, key)),
    treat: (next) => void (choose = next),
  }
}
