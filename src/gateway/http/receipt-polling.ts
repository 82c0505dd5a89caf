import { setTimeout } from 'node:timers/promises'
import type { Clock, GatewayHandlers, Log } from '../../app/ports.ts'
import { receiptsIn, type Provider } from './arrivals.ts'
import type { HttpGatewayConfig } from './http-config.ts'
import { openTexts } from './open-texts.ts'
import { askProvider } from './provider-request.ts'
import { placeholdersOf, type TemplateValues } from './template.ts'

/** Asks a provider that does not call back what became of the texts. */
export interface ReceiptPolling {
  /** Asks about these texts too, until they have come to an end or their time is up. */
  readonly follow: (providerIds: readonly string[]) => void
  readonly start: (onReceipt: GatewayHandlers['onReceipt']) => void
  readonly stop: () => Promise<void>
}

/** What polling needs. */
export interface PollingOptions {
  readonly config: NonNullable<HttpGatewayConfig['pollReceipts']>
  readonly provider: Provider
  readonly secretValues: TemplateValues
  readonly clock: Clock
  readonly log: Log
}

/** Builds the polling of one provider; it asks nothing until started. */
export function receiptPolling({
  config,
  provider,
  secretValues,
  clock,
  log,
}: PollingOptions): ReceiptPolling {
  const open = openTexts(clock, config.forHours * 3_600_000)
  const stopping = new AbortController()
  let asking: Promise<void> = Promise.resolve()

  /** What goes into each request of a round: some ids, or nothing where the provider lists all that is new. */
  function batches(): string[] {
    if (!placeholdersOf(config.request).includes('providerIds')) return ['']
    const ids = open.ids()
    const count = Math.ceil(ids.length / config.batch)
    return Array.from({ length: count }, (_, at) =>
      ids.slice(at * config.batch, (at + 1) * config.batch).join(','),
    )
  }

  async function ask(providerIds: string, onReceipt: GatewayHandlers['onReceipt']): Promise<void> {
    const reply = await askProvider(config.request, { ...secretValues, providerIds })
    if (reply.kind !== 'answered' || reply.status >= 300) {
      log.warn('receipts not fetched', { gateway: provider.name, reply: reply.kind })
      return
    }
    for (const receipt of receiptsIn(reply.fields, config, provider)) {
      if (!open.isNews(receipt)) continue
      await onReceipt(receipt)
      open.note(receipt)
    }
  }

  async function keepAsking(onReceipt: GatewayHandlers['onReceipt']): Promise<void> {
    while (!stopping.signal.aborted) {
      for (const batch of batches()) {
        await ask(batch, onReceipt).catch((error: unknown) => {
          log.error('receipts not stored', { gateway: provider.name, error })
        })
      }
      // Being stopped is one way for the wait to end.
      await setTimeout(config.everyMs, undefined, { signal: stopping.signal }).catch(() => undefined)
    }
  }

  return {
    follow: open.add,
    start(onReceipt) {
      asking = keepAsking(onReceipt)
    },
    stop() {
      stopping.abort()
      return asking
    },
  }
}
