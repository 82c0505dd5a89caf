import { answerScreen } from '../../src/app/screens/answer-screen.ts'
import type { GatewayHandlers } from '../../src/app/ports.ts'
import { HttpGatewayConfig } from '../../src/gateway/http/http-config.ts'
import { httpGateway } from '../../src/gateway/http/http-gateway.ts'
import { buildServer } from '../../src/http/server.ts'
import { listen } from '../../src/main/listen.ts'
import { readDataFile } from '../../src/platform/data-files.ts'
import { openLifecycle } from '../../src/platform/lifecycle.ts'
import type { Lifecycle } from '../../src/platform/lifecycle.ts'
import type { Database } from '../../src/store/database.ts'
import { benchDistrict } from './a-district.ts'
import type { BenchDistrict } from './a-district.ts'
import { hangUp, post, timesOf } from './http-load.ts'
import { inTurns, measured, median, percentile } from './measurement.ts'
import type { Measurement } from './measurement.ts'

const DIALOGUES = 50
const BOUND = 0.6
const TAIL_BOUND = 5

/**
 * USSD screens a second through a provider's callback, one dialogue at a time, beside "hello" from an Express handler
 * behind the same middleware; and, of as many dialogues at once, the slowest hundredth of screens to their median.
 */
export async function ussdVsHello(database: Database, rounds: number): Promise<readonly Measurement[]> {
  const district = await benchDistrict(database, 10)
  const lifecycle = openLifecycle(5000)
  const nothing = (): Promise<void> => Promise.resolve()
  const serve = (onScreen: GatewayHandlers['onScreen']) =>
    served(district, lifecycle, { onText: nothing, onReceipt: nothing, onScreen })
  const ours = await serve((request) => answerScreen(district.deps, request))
  const hello = await serve(() => Promise.resolve({ text: 'hello', ends: false }))

  const screens = district.workers.length
  const oneByOne = (address: string) => timesOf(dialogues(address, district), 1)
  await oneByOne(ours)
  await oneByOne(hello)
  const times = await inTurns(
    rounds,
    () => oneByOne(ours),
    () => oneByOne(hello),
  )
  const tail: number[] = []
  for (let round = 0; round < rounds; round += 1)
    tail.push(...(await timesOf(dialogues(ours, district), DIALOGUES)))
  hangUp()
  await lifecycle.stop()

  const rate = (ms: number): number => (screens * 1000) / ms
  const figures = {
    ours: rate(times.ours),
    baseline: rate(times.baseline),
    n: rounds * screens,
    unit: 'screens/s',
  }
  const slow = { ours: percentile(tail, 0.99), baseline: median(tail), n: tail.length, unit: 'ms' }
  return [
    measured({ name: 'ussd-vs-hello', ...figures }, 'at-least', BOUND),
    measured({ name: 'ussd-p99-of-50', ...slow }, 'at-most', TAIL_BOUND),
  ]
}

async function served(
  { deps }: BenchDistrict,
  lifecycle: Lifecycle,
  handlers: GatewayHandlers,
): Promise<string> {
  const gateway = httpGateway({
    config: HttpGatewayConfig.parse(readDataFile('gateways/example-form.json')),
    secrets: { 'example-form-callback': 'known', 'example-form-account': 'a', 'example-form-password': 'p' },
    clock: deps.clock,
    log: deps.log,
    random: () => 0,
  })
  await gateway.open(handlers)
  lifecycle.onStop('the gateway', gateway.close)
  const app = buildServer({ deps, version: '0', receivers: new Map([[gateway.name, gateway]]), pages: [] })
  return listen(app, { host: '127.0.0.1', port: 0, lifecycle })
}

let dialled = 0

/** Each worker dials: the first screen of a new dialogue. */
function dialogues(address: string, { workers }: BenchDistrict): (() => Promise<unknown>)[] {
  const headers = { 'content-type': 'application/x-www-form-urlencoded', 'x-callback-token': 'known' }
  return workers.map((number) => () => {
    dialled += 1
    const fields = { visit: `visit ${dialled}`, number: number.slice(1), service: '*7709#', answers: '' }
    const body = new URLSearchParams(fields).toString()
    return post(address, { path: '/callbacks/example-form/screen', headers, body }, 200)
  })
}
