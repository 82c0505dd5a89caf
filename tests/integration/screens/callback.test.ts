import { HttpGatewayConfig } from '../../../src/gateway/http/http-config.ts'
import { httpGateway } from '../../../src/gateway/http/http-gateway.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'
import { openLogger } from '../../../src/platform/logger.ts'
import { fixedClock } from '../../support/fixed-clock.ts'
import { runningServiceWith } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

/*
 * Menus over a provider that sends, with every key, all the keys of the dialogue so far: the shipped example of a
 * form-encoded gateway, called over HTTP as the provider would.
 */

const clock = fixedClock('2026-03-10T10:00+03:00')
const gateway = httpGateway({
  config: HttpGatewayConfig.parse(readDataFile('gateways/example-form.json')),
  secrets: { 'example-form-callback': 'known', 'example-form-account': 'a', 'example-form-password': 'p' },
  clock,
  log: openLogger('silent'),
  random: () => 0,
})
const service = await runningServiceWith(clock, { gateway, receivers: new Map([[gateway.name, gateway]]) })

/** One callback of the provider, with all answers so far. */
async function call(number: string, answers: readonly string[], token = 'known'): Promise<string> {
  const response = await fetch(`${service.address}/callbacks/example-form/screen`, {
    method: 'POST',
    headers: { 'content-type': 'application/x-www-form-urlencoded', 'x-callback-token': token },
    body: new URLSearchParams({
      visit: `visit of ${number}`,
      number: number.slice(1),
      service: '*7709#',
      answers: answers.join('/'),
    }),
  })
  return `${response.status} ${await response.text()}`
}

test('doses are recorded through callbacks, each of which comes twice', async () => {
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  const keys = ['1', child.cardNumber, '1', '8']

  const screens: string[] = []
  for (let step = 0; step <= keys.length; step += 1) {
    const trail = keys.slice(0, step)
    const once = await call(district.vaccinator, trail)
    expect(await call(district.vaccinator, trail)).toBe(once)
    screens.push(once)
  }

  expect(screens[0]).toMatch(/^200 ask Ford\n1 Record vaccines/)
  expect(screens.at(-1)).toMatch(/^200 ask \d{4} \d{4} Asha: .* recorded for Tue 10 Mar/)
  const doses = await service.database.db.dose.findMany({ where: { childId: child.id } })
  expect(doses.length).toBeGreaterThan(1)
  expect(new Set(doses.map(({ vaccine }) => vaccine)).size).toBe(doses.length)
})

test('the last screen of a parent ends the dialogue', async () => {
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  const number = child.phones[0]?.number ?? ''
  await call(number, [])
  await call(number, ['1'])

  expect(await call(number, ['1', '8'])).toMatch(/^200 show The vaccine day of Asha is now/)
})

test('a callback without proof is shown nothing', async () => {
  const district = await newDistrict(service)

  expect(await call(district.vaccinator, [], 'guessed')).toMatch(/^401 /)
})
