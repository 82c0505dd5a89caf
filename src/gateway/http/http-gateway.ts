import type {
  CallbackAnswer,
  CallbackReceiver,
  CallbackRequest,
  Clock,
  Gateway,
  GatewayHandlers,
  Log,
  OutgoingText,
  SubmitAnswer,
} from '../../app/ports.ts'
import { Refusal } from '../../core/refusals.ts'
import { arrivalKeys } from '../arrival-keys.ts'
import { worthGiving } from '../pacing/worth-giving.ts'
import { secretNamed, type Secrets } from '../secrets.ts'
import { underWay } from '../under-way.ts'
import type { Provider } from './arrivals.ts'
import { answerCallback } from './callbacks.ts'
import { secretsOfHttp, type HttpGatewayConfig } from './http-config.ts'
import { proofReader } from './proof.ts'
import { receiptPolling } from './receipt-polling.ts'
import { submitter } from './submitter.ts'

/** What an HTTP gateway is built from. */
export interface HttpGatewayOptions {
  readonly config: HttpGatewayConfig
  /** The value of each secret the description names. */
  readonly secrets: Secrets
  readonly clock: Clock
  readonly log: Log
  /** 0 to 1, for jitter. */
  readonly random: () => number
  /** Milliseconds on a clock that only goes forward; by default the process's own. */
  readonly elapsedMs?: () => number
}

/** A provider of texts and USSD over HTTP. */
export interface HttpGateway extends Gateway, CallbackReceiver {
  /** After a restart: asks again about texts whose end is not known; does nothing where the provider calls back. */
  readonly followReceipts: (providerIds: readonly string[]) => void
}

/** Builds a gateway from a provider's description; a missing secret throws at once. */
export function httpGateway(options: HttpGatewayOptions): HttpGateway {
  const { config, secrets, clock, log, random, elapsedMs = () => performance.now() } = options
  const { name, receive, pollReceipts } = config
  const needed = secretsOfHttp(config).map((key) => [`secret.${key}`, secretNamed(secrets, key)] as const)
  const secretValues = Object.fromEntries(needed)
  const provider: Provider = {
    name,
    numbers: config.numbers,
    keyOf: arrivalKeys(clock).keyOf,
    onRepeatedField: (path) => {
      log.warn('field repeated, first one used', { gateway: name, path })
    },
  }
  const proof = receive && proofReader({ proof: receive.proof, secrets, clock })
  const polling = pollReceipts && receiptPolling({ config: pollReceipts, provider, secretValues, clock, log })
  const outbound = submitter({ config, secretValues, clock, random, elapsedMs })
  const work = underWay()
  let handlers: GatewayHandlers | null = null

  async function submit(text: OutgoingText): Promise<SubmitAnswer> {
    const answer = await outbound.submit(text)
    if (answer.kind === 'accepted') polling?.follow(answer.providerIds)
    return answer
  }

  async function receiveProven(purpose: string, request: CallbackRequest): Promise<CallbackAnswer> {
    if (receive === undefined || proof === undefined || handlers === null) {
      throw new Refusal('route-not-found', 'This gateway receives nothing here.')
    }
    const context = { receive, provider, handlers }
    return proof.whenProven(request, () => answerCallback(purpose, request, context))
  }

  return {
    name,
    isIdempotent: config.submit.recognisesRepeats,
    isUp: outbound.isUp,
    atOnce: worthGiving({ window: config.submit.window, perSecond: config.submit.textsPerSecond }),
    answersWithinMs: config.submit.patienceMs + config.submit.request.timeoutMs,
    open(given) {
      handlers = given
      if (receive?.proof.kind === 'none') log.warn('callbacks are taken without proof', { gateway: name })
      polling?.start(given.onReceipt)
      return Promise.resolve()
    },
    submit: (text) => work.add(submit(text)),
    receive: (purpose, request) => work.add(receiveProven(purpose, request)),
    followReceipts: (providerIds) => polling?.follow(providerIds),
    async close() {
      outbound.stop()
      await polling?.stop()
      await work.settled()
    },
  }
}
