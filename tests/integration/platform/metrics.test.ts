import { metricsListener } from '../../../src/http/metrics.ts'
import { listen } from '../../../src/main/listen.ts'
import { meteredGateway, readService } from '../../../src/main/metered.ts'
import { openLifecycle } from '../../../src/platform/lifecycle.ts'
import { openMetrics } from '../../../src/platform/metrics.ts'
import { fixedClock } from '../../support/fixed-clock.ts'
import { openHandset } from '../../../src/main/open-gateway.ts'
import { runningServiceWith } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const quiet = { info: () => undefined, warn: () => undefined, error: () => undefined }
const clock = fixedClock('2026-03-04T10:00+03:00')
const metrics = openMetrics()
const handset = openHandset(clock, quiet)
const service = await runningServiceWith(clock, {
  gateway: meteredGateway(handset, metrics),
  settled: handset.settled,
})
readService(service, metrics)
const lifecycle = openLifecycle(5000)
afterAll(lifecycle.stop)
const address = await listen(
  metricsListener(metrics, () => undefined),
  { host: '127.0.0.1', port: 0, lifecycle },
)

/** The value of a sample in the text format of Prometheus (its documentation, "Exposition formats"). */
async function sample(name: string): Promise<number> {
  const text = await (await fetch(`${address}/metrics`)).text()
  const line = text.split('\n').find((each) => each.startsWith(`${name} `))
  return Number(line?.slice(name.length + 1))
}

test('metrics say how much is due, since when, and what gateways answered', async () => {
  const district = await newDistrict(service)
  await district.enrol({ birthDate: '2026-01-20' })
  await service.deliver()
  clock.moveTo('2026-03-09T08:00+03:00')
  clock.advance({ minutes: 10 })

  expect(await sample('duebell_reminders_due')).toBe(2)
  expect(await sample('duebell_reminder_oldest_due_age_seconds')).toBeGreaterThanOrEqual(600)
  const before = await sample('duebell_gateway_answers_total{lane="handset",answer="accepted"}')

  await service.deliver()

  expect(await sample('duebell_reminders_due')).toBe(0)
  expect(await sample('duebell_gateway_answers_total{lane="handset",answer="accepted"}')).toBe(before + 1)
  expect(await sample('duebell_gateway_submit_duration_seconds_count{lane="handset"}')).toBe(before + 1)
  expect(await sample('duebell_queue_jobs{queue="bulk-handset"}')).toBe(0)
  expect(await sample('duebell_texts_without_receipt')).toBe(0)
})

test('metrics are served on an address of their own, and not where the public comes', async () => {
  expect((await fetch(`${service.address}/metrics`)).status).toBe(404)
  expect((await fetch(`${address}/v1/districts`)).status).toBe(404)
})
