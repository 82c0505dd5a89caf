import type { Clock, Gateway, Log } from '../../app/ports.ts'
import { arrivalKeys } from '../arrival-keys.ts'
import { worthGiving } from '../pacing/worth-giving.ts'
import type { Secrets } from '../secrets.ts'
import { underWay } from '../under-way.ts'
import type { Arrival } from './arrival.ts'
import { smppArrivals, type Arrivals } from './arrivals.ts'
import { bindPdu, socketOf, type BindRole } from './bind.ts'
import { smppLink, type Link } from './link.ts'
import { partSender } from './part-sender.ts'
import type { PduOf } from './pdu.ts'
import type { SmppConfig } from './smpp-config.ts'
import { textSender } from './text-sender.ts'

/** What an SMPP gateway is built from. */
export interface SmppGatewayOptions {
  readonly config: SmppConfig
  readonly secrets: Secrets
  readonly clock: Clock
  readonly log: Log
  /** 0 to 1; for jitter, and for the first reference of long texts. */
  readonly random: () => number
  /** Milliseconds on a clock that only goes forward; by default the process's own. */
  readonly elapsedMs?: () => number
}

/**
 * Builds a gateway over one account: a transceiver bind, or a transmitter and a receiver. It is open even while
 * the SMSC is away; texts are then to be tried later.
 */
export function smppGateway(options: SmppGatewayOptions): Gateway {
  const { config, secrets, clock, log, random, elapsedMs = () => performance.now() } = options
  const { name, timing } = config
  const work = underWay()
  let arrivals: Arrivals | null = null

  function linkAs(role: BindRole): Link {
    const session = {
      ...socketOf(config, secrets),
      bind: bindPdu(config, role, secrets),
      onArrival: (arrival: Arrival) => arrivals?.take(arrival) ?? Promise.reject(new Error('not open')),
    }
    return smppLink({ name, timing, session, random, elapsedMs, log })
  }

  const outLink = linkAs(config.bindAs === 'transceiver' ? 'transceiver' : 'transmitter')
  const links = config.bindAs === 'transceiver' ? [outLink] : [outLink, linkAs('receiver')]
  const sender = partSender({ config, link: outLink, random, elapsedMs, log })
  const submit = textSender({ config, sendPart: sender.send, clock, random })

  async function showScreen(screen: PduOf<'submit_sm'>): Promise<void> {
    const answer = await sender.send(screen, true)
    if (answer.kind !== 'answered' || answer.meaning !== 'accepted')
      log.warn('screen not shown', { gateway: name, answer })
  }

  return {
    name,
    isIdempotent: false,
    atOnce: worthGiving({ window: config.window, perSecond: config.partsPerSecond }),
    answersWithinMs: timing.patienceMs + timing.answerMs,
    async open(handlers) {
      const show = (screen: PduOf<'submit_sm'>): void => void work.add(showScreen(screen))
      arrivals = smppArrivals({ config, handlers, keys: arrivalKeys(clock), elapsedMs, log, show })
      await Promise.all(links.map((link) => link.open()))
    },
    isUp: () => links.every((link) => link.session() !== null),
    submit: (text) => work.add(submit(text)),
    async close() {
      sender.stop()
      await work.settled()
      await Promise.all(links.map((link) => link.close()))
      await arrivals?.close()
    },
  }
}
