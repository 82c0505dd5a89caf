import type { CallbackReceiver, Clock } from '../app/ports.ts'
import { buildCallbackServer, buildServer } from '../http/server.ts'
import type { RequestLimits } from '../http/limits.ts'
import { metricsListener } from '../http/metrics.ts'
import { pagesRouter } from '../http/pages/pages-router.ts'
import { phoneRouter } from '../http/pages/phone.ts'
import type { BuiltGateway } from '../gateway/build-gateway.ts'
import type { HandsetGateway } from '../gateway/handset/handset-gateway.ts'
import { systemClock } from '../platform/clock.ts'
import type { Config } from '../platform/config.ts'
import { openMetrics } from '../platform/metrics.ts'
import type { Metrics } from '../platform/metrics.ts'
import { newCode, newSecret } from '../platform/ids.ts'
import { openLifecycle, stopRequested } from '../platform/lifecycle.ts'
import type { Lifecycle } from '../platform/lifecycle.ts'
import { openRequestLimits } from '../platform/request-limits.ts'
import { startHeartbeat } from './heartbeat.ts'
import { listen } from './listen.ts'
import { openGateway } from './open-gateway.ts'
import { openPhoneBench } from './phone-bench.ts'
import { meteredGateway, readService } from './metered.ts'
import { startRounds } from './rounds.ts'
import { startService } from './service.ts'
import type { Service } from './service.ts'
import { readSettings } from './settings.ts'
import { phonesOfService } from './try-out-phones.ts'
import { VERSION } from './version.ts'
import { openStore, placeOfRedis } from './with-store.ts'
import type { Store } from './with-store.ts'

const CONCURRENCY = 8
/** Dialled on the phones inside the process. */
export const USSD_CODE = '*7709#'
/** Guesses a minute from one address before it has to wait. */
const REFUSALS_A_MINUTE = 30
const SIGN_INS_A_MINUTE = 20

type Environment = Readonly<Record<string, string | undefined>>

/** Runs the roles of this process until it is asked to stop. */
export async function serve(environment: Environment, clock: Clock = systemClock): Promise<void> {
  const { config, gateway: described, tls } = readSettings(environment)
  const { httpHost: host, httpPort: port, roles } = config
  const lifecycle = openLifecycle(config.stopTimeoutMs)
  const asked = stopRequested()
  try {
    const store = await openStore(config, lifecycle)
    const metrics = openMetrics()
    const opened = openGateway({ described, clock, log: store.log })
    const gateway = meteredGateway(opened.gateway, metrics)
    const service = await startService({
      store,
      lifecycle,
      clock,
      gateway,
      concurrency: CONCURRENCY,
    })
    const app = webSide(config, service, opened, await openLimits(store, lifecycle))
    const address = await listen(app, { host, port, lifecycle, tls })
    store.log.info('serving', { address, roles: [...roles], gateway: gateway.name, release: VERSION })
    await serveMetrics(service, metrics, config, lifecycle)
    startHeartbeat(service, { roles: [...roles], release: VERSION }, lifecycle)
    if (roles.has('planner')) startRounds(service, lifecycle)
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

function webSide(config: Config, service: Service, opened: BuiltGateway, limits: RequestLimits) {
  const { roles, trustedProxies } = config
  const receivers = roles.has('receiver') ? opened.receivers : new Map<string, CallbackReceiver>()
  const options = { deps: service.deps, receivers, limits, trustedProxies }
  if (!roles.has('api')) return buildCallbackServer(options)
  return buildServer({ ...options, version: VERSION, pages: pagesOf(service, config, opened.handset) })
}

function pagesOf(service: Service, { triesOutPhones }: Config, handset: HandsetGateway | null) {
  const pages = [pagesRouter(service.deps, { newSecret, newCode })]
  if (handset === null || !triesOutPhones) return pages
  const bench = openPhoneBench({
    handset,
    clock: service.deps.clock,
    phones: () => phonesOfService(service.deps),
    whenIdle: service.whenIdle,
    code: USSD_CODE,
  })
  return [...pages, phoneRouter(bench)]
}

async function openLimits(store: Store, lifecycle: Lifecycle) {
  const { config } = store
  const limits = await openRequestLimits({
    place: await placeOfRedis(store),
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
