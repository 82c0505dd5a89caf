import { startRounds } from './rounds.ts'
import { startService } from './service.ts'
import { buildServer } from '../http/server.ts'
import { pagesRouter } from '../http/pages/pages-router.ts'
import { phoneRouter } from '../http/pages/phone.ts'
import { systemClock } from '../platform/clock.ts'
import { readConfig } from '../platform/config.ts'
import { newCode, newSecret } from '../platform/ids.ts'
import { openLifecycle, stopRequested } from '../platform/lifecycle.ts'
import { listen } from './listen.ts'
import { openGateway } from './open-gateway.ts'
import { openPhoneBench } from './phone-bench.ts'
import { phonesOfService } from './try-out-phones.ts'
import { VERSION } from './version.ts'
import { openStore } from './with-store.ts'

/** Reminders due within this time go on the conveyor; further ones stay rows. */
const HORIZON_MS = 60_000
const CONCURRENCY = 8
/** Dialled on the phones inside the process. */
export const USSD_CODE = '*7709#'

/** Runs the whole service until it is asked to stop. */
export async function serve(environment: Readonly<Record<string, string | undefined>>): Promise<void> {
  const config = readConfig(environment)
  const lifecycle = openLifecycle(config.stopTimeoutMs)
  const asked = stopRequested()
  try {
    const store = await openStore(config, lifecycle)
    const opened = openGateway({ file: config.gatewayFile, environment, clock: systemClock, log: store.log })
    const { gateway, handset, receivers } = opened
    const service = await startService({
      store,
      lifecycle,
      clock: systemClock,
      gateway,
      horizonMs: HORIZON_MS,
      concurrency: CONCURRENCY,
    })
    const phonePages =
      handset === null || !config.triesOutPhones
        ? []
        : [
            phoneRouter(
              openPhoneBench({
                handset,
                clock: systemClock,
                phones: () => phonesOfService(service.deps),
                whenIdle: service.whenIdle,
                code: USSD_CODE,
              }),
            ),
          ]
    const pages = [pagesRouter(service.deps, { newSecret, newCode }), ...phonePages]
    const app = buildServer({ deps: service.deps, version: VERSION, receivers, pages })
    const address = await listen(app, { host: config.httpHost, port: config.httpPort, lifecycle })
    store.log.info('serving', { address, gateway: gateway.name })
    startRounds(service, lifecycle)
    await asked
  } finally {
    await lifecycle.stop()
  }
}
