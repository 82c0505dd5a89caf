/** What comes from the SMSC, passed on as texts, receipts and screens. */
import type { GatewayHandlers, Log } from '../../app/ports.ts'
import type { ArrivalKeys } from '../arrival-keys.ts'
import { kindOfArrival, type Arrival } from './arrival.ts'
import { partOf, wordsOf } from './incoming-text.ts'
import { partsInOrder, type ArrivedPart } from './joining.ts'
import { LongTexts } from './long-texts.ts'
import type { PduOf } from './pdu.ts'
import { receiptOf } from './receipt.ts'
import { readStep, screenPdu, type Step } from './screens.ts'
import type { SmppConfig } from './smpp-config.ts'

/** Where arrivals go. */
export interface Arrivals {
  /** Resolves once the arrival is stored; rejects when it was not and should come again. */
  readonly take: (arrival: Arrival) => Promise<void>
  /** Passes on the texts that are still incomplete. */
  readonly close: () => Promise<void>
}

/** What taking arrivals needs. */
export interface ArrivalsOptions {
  readonly config: SmppConfig
  readonly handlers: GatewayHandlers
  readonly keys: ArrivalKeys
  readonly elapsedMs: () => number
  readonly log: Log
  /** Sends a USSD screen, without making the arrival wait for it. */
  readonly show: (screen: PduOf<'submit_sm'>) => void
}

/** Builds the taking of arrivals for one account. */
export function smppArrivals({ config, handlers, keys, elapsedMs, log, show }: ArrivalsOptions): Arrivals {
  const { name: gateway, timing, plain } = config
  const longTexts = new LongTexts({
    holdMs: timing.holdPartMs,
    keepMs: timing.joinPartsMs,
    elapsedMs,
    store: (group) => storeText(partsInOrder(group)),
    onFault: (error) => {
      log.error('text not stored', { gateway, error })
    },
  })

  async function storeText(parts: readonly ArrivedPart[]): Promise<void> {
    const [first] = parts
    if (first === undefined) return
    const { from, to, reference, total } = first
    const pieces = parts.flatMap(({ number, dataCoding, octets }) => [`${number} ${dataCoding}`, octets])
    const missingParts = total - parts.length
    await handlers.onText({
      gateway,
      key: keys.keyOf(gateway, from, to, reference, ...pieces),
      from,
      to,
      ...wordsOf(parts, plain.alphabet),
      ...(missingParts > 0 && { missingParts }),
    })
  }

  async function takeReceipt(arrival: Arrival): Promise<void> {
    const receipt = receiptOf(arrival, config)
    if (receipt === null) log.warn('receipt without an id', { gateway })
    else await handlers.onReceipt(receipt)
  }

  async function takeStep(arrival: Arrival, step: Step): Promise<void> {
    if (step === 'other') return
    const answer = await handlers.onScreen({ gateway, ...step })
    show(screenPdu(arrival, answer, config))
  }

  async function pass(arrival: Arrival): Promise<void> {
    const step = readStep(arrival, config)
    if (step !== null) return takeStep(arrival, step)
    const kind = kindOfArrival(arrival)
    if (kind === 'receipt') return takeReceipt(arrival)
    if (kind === 'acknowledgement') return
    const part = partOf(arrival, config.numbers)
    return part.total === 1 ? storeText([part]) : longTexts.take(part)
  }

  return {
    async take(arrival) {
      try {
        await pass(arrival)
      } catch (error) {
        log.error('arrival not stored, it will come again', { gateway, error })
        throw error
      }
    },
    close: () => longTexts.close(),
  }
}
