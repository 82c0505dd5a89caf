/** A worker of the chaos suite: the service as it is, on a clock that its parent sets; killed without warning. */
import { readFileSync } from 'node:fs'
import { setTimeout as delay } from 'node:timers/promises'
import { z } from 'zod'
import { refreshPlan } from '../../src/app/refresh-plan.ts'
import { openGateway } from '../../src/main/open-gateway.ts'
import { startService } from '../../src/main/service.ts'
import type { Service } from '../../src/main/service.ts'
import { openStore } from '../../src/main/with-store.ts'
import { GatewayConfig } from '../../src/gateway/gateway-config.ts'
import { readConfig } from '../../src/platform/config.ts'
import { openLifecycle } from '../../src/platform/lifecycle.ts'
import { chaosClock } from './chaos-clock.ts'

const SWEEP_MS = 500
const environment = process.env
const clock = chaosClock(Number(environment['CHAOS_OFFSET_MS']))
process.on('message', (offsetMs) => {
  clock.setOffset(z.number().parse(offsetMs))
})
// Whoever lives longer than its parent is of no use.
process.on('disconnect', () => process.exit())

const lifecycle = openLifecycle(5000)
const store = await openStore(readConfig({ ...environment, HTTP_PORT: '0' }), lifecycle)
const config = GatewayConfig.parse(JSON.parse(readFileSync(environment['CHAOS_GATEWAY'] ?? '', 'utf8')))
const { gateway } = openGateway({ described: { config, secrets: {} }, clock, log: store.log })
const service = await startService({ store, lifecycle, clock, gateway, concurrency: 8 })
process.send?.('up')

void repeat(() => service.sweep(), SWEEP_MS)
if (environment['CHAOS_PLANS'] !== undefined) void repeat(() => planSomeone(service), 1)

async function repeat(work: () => Promise<unknown>, everyMs: number): Promise<void> {
  for (;;) {
    await work().catch((error: unknown) => {
      store.log.warn('a round failed', { error })
    })
    await delay(everyMs)
  }
}

/** Plans one child anew, as a change of its village's sessions would. */
async function planSomeone({ deps }: Service): Promise<void> {
  await deps.database.transaction(async (tx) => {
    const count = await tx.child.count()
    const child = await tx.child.findFirst({
      skip: Math.floor(Math.random() * count),
      orderBy: { id: 'asc' },
    })
    if (child !== null) await refreshPlan(tx, deps, child.id)
  })
}
