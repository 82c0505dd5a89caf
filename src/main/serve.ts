import { buildServer, buildWorkerServer } from '../http/server.ts'
import { metricsListener } from '../http/metrics.ts'
import { pagesRouter } from '../http/pages/pages-router.ts'
import { phoneRouter } from '../http/pages/phone.ts'
import type { HandsetGateway } from '../gateway/handset/handset-gateway.ts'
import { systemClock } from '../platform/clock.ts'
import type { Config } from '../platform/config.ts'
import { openMetrics } from '../platform/metrics.ts'
import type { Metrics } from '../platform/metrics.ts'
import { newCode, newSecret } from '../platform/ids.ts'
import { openLifecycle, stopRequested } from '../platform/lifecycle.ts'
import type { Lifecycle } from '../platform/lifecycle.ts'
import { openRequestLimits } from '../platform/request-limits.ts'
import { listen } from './listen.ts'
import { calledByProviders, openGateway } from './open-gateway.ts'
import { openPhoneBench } from './phone-bench.ts'
import { meteredGateway, readService } from './metered.ts'
import { startRounds } from './rounds.ts'
import { startService } from './service.ts'
import type { Service } from './service.ts'
import { readSettings } from './settings.ts'
import { phonesOfService } from './try-out-phones.ts'
import { VERSION } from './version.ts'
import { openStore } from './with-store.ts'
import type { Store } from './with-store.ts'

const CONCURRENCY = 8
/** Dialled on the phones inside the process. */
export const USSD_CODE = '*7709#'
/** Guesses a minute from one address before it has to wait. */
const REFUSALS_A_MINUTE = 30
const SIGN_INS_A_MINUTE = 20

/** What one process can be: `api` answers the web and providers, `worker` reads and sends texts; null is both. */
export type Part = 'api' | 'worker'

/** Runs the service, or a part of it, until it is asked to stop. */
export async function serve(
  environment: Readonly<Record<string, string | undefined>>,
  part: Part | null = null,
): Promise<void> {
  const { config, gateway: described, tls } = readSettings(environment)
  const lifecycle = openLifecycle(config.stopTimeoutMs)
  const asked = stopRequested()
  try {
    const store = await openStore(config, lifecycle)
    const metrics = openMetrics()
    const {
      gateway: plain,
      handset,
      receivers,
    } = openGateway({
      described: part === 'api' ? calledByProviders(described) : described,
      clock: systemClock,
      log: store.log,
    })
    const gateway = meteredGateway(plain, metrics)
    const service = await startService({
      store,
      lifecycle,
      clock: systemClock,
      gateway,
      concurrency: part === 'api' ? 0 : CONCURRENCY,
    })
    const app =
      part === 'worker'
        ? buildWorkerServer(service.deps)
        : buildServer({
            deps: service.deps,
            version: VERSION,
            receivers,
            pages: pagesOf(service, config, handset),
            limits: await openLimits(store, lifecycle),
            trustedProxies: config.trustedProxies,
          })
    const address = await listen(app, { host: config.httpHost, port: config.httpPort, lifecycle, tls })
    store.log.info('serving', { address, part: part ?? 'all', gateway: gateway.name, release: VERSION })
    await serveMetrics(service, metrics, config, lifecycle)
    if (part !== 'api') startRounds(service, lifecycle)
    await asked
  } finally {
    await lifecycle.stop()
  }
}

async function serveMetrics(
  service: Service,
  metrics: Metrics,
  { metricsHost: host, metricsPort: port }: Config,
  lifecycle: Lifecycle,
): Promise<void> {
  if (port === null) return
  readService(service, metrics)
  const { log } = service.deps
  const listener = metricsListener(metrics, (error) => {
    log.warn('metrics could not be read', { error })
  })
  log.info('metrics', { address: await listen(listener, { host, port, lifecycle }) })
}

function pagesOf(service: Service, { triesOutPhones }: Config, handset: HandsetGateway | null) {
  const pages = [pagesRouter(service.deps, { newSecret, newCode })]
  if (handset === null || !triesOutPhones) return pages
  const bench = openPhoneBench({
    handset,
    clock: systemClock,
    phones: () => phonesOfService(service.deps),
    whenIdle: service.whenIdle,
    code: USSD_CODE,
  })
  return [...pages, phoneRouter(bench)]
}

async function openLimits({ config, openRedis }: Store, lifecycle: Lifecycle) {
  const limits = await openRequestLimits({
    redisUrl: await openRedis(),
    prefix: `{${config.queuePrefix}}`,
    perMinute: {
      addresses: config.requestsPerAddress,
      tokens: config.requestsPerToken,
      refusals: REFUSALS_A_MINUTE,
      'sign-ins': SIGN_INS_A_MINUTE,
    },
  })
  lifecycle.onStop('the request limits', limits.close)
  return limits
}
