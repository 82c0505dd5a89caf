/** A whole run at the most talkative level, faults included: who is in the database is in no log line and no metric. */
import type { OutgoingText, SubmitAnswer } from '../../src/app/ports.ts'
import { districtRouter } from '../../src/http/pages/district-router.ts'
import { metricsListener } from '../../src/http/metrics.ts'
import { listen } from '../../src/main/listen.ts'
import { meteredGateway, readService } from '../../src/main/metered.ts'
import { openHandset } from '../../src/main/open-gateway.ts'
import { openLifecycle } from '../../src/platform/lifecycle.ts'
import { openLogger } from '../../src/platform/logger.ts'
import { openMetrics } from '../../src/platform/metrics.ts'
import { fixedClock } from '../support/fixed-clock.ts'
import { keypadOf } from '../support/keypad.ts'
import { pageVisitor, queryOf, takeRegister, fieldOf } from '../support/page-server.ts'
import { runningServiceWith } from '../support/running-service.ts'
import { newDistrict, newPhone, phoneOf } from '../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../support/test-district.ts'

const lines: string[] = []
const log = openLogger('debug', { write: (line) => lines.push(line) })
const clock = fixedClock('2026-03-03T10:00+03:00')
const metrics = openMetrics()
const handset = openHandset(clock, log)
let breaks: (text: OutgoingText) => SubmitAnswer | undefined = () => undefined
const gateway = meteredGateway(
  {
    ...handset,
    submit: (text) => {
      const answer = breaks(text)
      return answer === undefined ? handset.submit(text) : Promise.resolve(answer)
    },
  },
  metrics,
)
const service = await runningServiceWith(clock, { gateway, settled: handset.settled, log })
const { address, call, database, deps, liveUntil, tokenFor, whenIdle } = service
readService(service, metrics)
const lifecycle = openLifecycle(5000)
afterAll(lifecycle.stop)
const metricsAddress = await listen(
  metricsListener(metrics, () => undefined),
  { host: '127.0.0.1', port: 0, lifecycle },
)

const secrets: string[] = []
const MANAGER = newPhone()
const PEOPLE = (vaccinator: string) => [
  { name: 'Wanda Quillfeather', role: 'vaccinator' as const, phone: vaccinator, post: 'Ford' },
  { name: 'Magnus Thornbury', role: 'manager' as const, phone: MANAGER },
]

async function text(from: string, ...bodies: readonly string[]): Promise<void> {
  for (const body of bodies) {
    await handset.text(from, body)
    await whenIdle()
  }
}

/** Signs in by a code, looks at every page, and asks for pages that are not there. */
async function look(district: TestDistrict, child: ChildJson): Promise<void> {
  const visitor = pageVisitor(address)
  const { location } = await visitor.post('/sign-in/number', { number: MANAGER })
  const page = await visitor.get(location)
  await service.deliver()
  const code = /\d{6}/.exec(handset.inbox(MANAGER).at(-1)?.body ?? '')?.[0] ?? ''
  await visitor.post('/sign-in/code', { id: fieldOf(page, 'id'), next: '/district', code })
  secrets.push(code, visitor.cookie().split('=')[1] ?? '', queryOf(location, 'id'))
  const layers = districtRouter(deps).stack as unknown as { route?: { path: string; methods: object } }[]
  for (const { route } of layers) {
    if (route === undefined || !('get' in route.methods)) continue
    const path = route.path
      .replace(':districtId', district.id)
      .replace(/:(\w*card\w*|childId)/i, child.cardNumber)
      .replaceAll(/:\w+/g, child.id)
    await visitor.get(`${path}?name=${encodeURIComponent(child.name)}`)
  }
}

/** The whole job of a district: register, reminders, texts, menus, reactions, pages. */
async function aWholeRun(): Promise<{ district: TestDistrict; child: ChildJson }> {
  const vaccinator = newPhone()
  const district = await newDistrict(service, { people: PEOPLE(vaccinator) })
  const child = await district.enrol({ name: 'Ashanti Merriweather', birthDate: '2026-01-10' })
  const register = `card_number,name,sex,birth_date,village,phone\n,Bertrand Oakenshaw,male,2026-01-06,Mbari,${newPhone()}\n`
  await takeRegister(service, district.id, register)
  const phone = phoneOf(child)
  await text(vaccinator, 'OPENED BOPV L4471B 05/2027', `GAVE ${child.cardNumber} OPV PENTA V 101`)
  await text(vaccinator, `NEW Mbari 05/02/2026 F ${newPhone()} Clementine Underhill`, 'DUE', 'UNDO')
  await text(vaccinator, `REACTION ${child.cardNumber} fits since noon`, 'GAVE 1234 5678 ALL', 'Asha is ill')
  await text(phone, 'WHEN', 'LATER', 'STOP', 'START')
  await keypadOf({ handset }, vaccinator).dial('1', '1', child.cardNumber)
  await keypadOf({ handset }, phone).dial('1')
  await liveUntil('2026-03-07T08:00+03:00')
  await look(district, child)
  const body = { name: 'Ashanti Featherstone' }
  await call('PATCH', `/v1/children/${child.id}`, { token: district.token, body })
  return { district, child }
}

/** A child whose term is over, and one whose family wants it removed. */
async function twoToRemove({ id, token, enrol }: TestDistrict): Promise<void> {
  const closed = await enrol({ name: 'Leopold Grimsditch', birthDate: '2024-01-10' })
  const unwanted = await enrol({ name: 'Peregrine Lovelock', birthDate: '2026-02-10' })
  secrets.push('Grimsditch', 'Lovelock', closed.cardNumber, unwanted.cardNumber)
  const status = { status: 'refused', on: '2025-01-20' }
  await call('POST', `/v1/children/${closed.id}/status`, { token, body: status })
  const terms = { textsIn: 90, reminders: 60, replies: 60, webhookCalls: 7, grownChildren: null }
  await call('PUT', `/v1/districts/${id}/retention`, { token, body: { ...terms, closedChildren: 365 } })
  const body = { reason: 'family-asked', askedBy: 'mother' }
  await call('POST', `/v1/children/${unwanted.id}/erase`, { token, body })
}

/** Everything breaks at once, saying names and numbers as loudly as a driver could. */
async function faults({ district, child }: { district: TestDistrict; child: ChildJson }): Promise<void> {
  const phone = phoneOf(child)
  const loud = `"${child.name}" of ${phone}, card ${child.cardNumber.slice(0, 4)} ${child.cardNumber.slice(4)}`
  breaks = ({ to, body }) => ({ kind: 'try-later', reason: `${to}: ${body}`, retryAfterMs: null })
  await liveUntil('2026-03-09T08:00+03:00')
  breaks = () => {
    throw new Error(`the network lost ${loud}`)
  }
  await text(phone, 'WHEN')
  breaks = () => undefined
  for (let guess = 0; guess < 25; guess += 1)
    await call('GET', `/v1/children/${child.id}`, { token: `${district.token}x` })
  const malformed = `{"name": ${child.name}, "phone": ${phone}`
  await call('POST', '/v1/children', { token: district.token, body: malformed })
  await call('GET', `/v1/${encodeURIComponent(child.name)}`, { token: district.token })

  await twoToRemove(district)
  const visitor = pageVisitor(address)
  const token = await tokenFor('manager', district.id)
  secrets.push(token)
  await visitor.post('/sign-in/token', { token, next: '/district' })
  await database.pool.query(`
    create function break_down() returns trigger language plpgsql as $$
      begin raise exception '%', $said$no room for ${loud}$said$; end $$;
    create trigger breaks_down before insert or update on change execute function break_down();
    create trigger breaks_down before insert or update on dialogue execute function break_down()`)
  await visitor.get(`/districts/${district.id}`)
  const body = { name: child.name, birthWeightGrams: 3100 }
  await call('PATCH', `/v1/children/${child.id}`, { token: district.token, body })
  await text(district.vaccinator, `CARD ${child.cardNumber}`)
  await keypadOf({ handset }, phone).dial()
  await service.retain().catch((error: unknown) => {
    log.error('a round failed', { error })
  })
  await database.pool.query('drop function break_down cascade')
  await service.retain()
  await service.searchErased()
}

/** What of a value must not be read: a name by its words, a number however it is spaced. */
async function everythingPrivate(): Promise<{ words: string[]; numbers: string[] }> {
  const { db } = database
  const people = await db.person.findMany()
  const children = await db.child.findMany()
  const former = await db.formerName.findMany()
  const lineRows = await db.phoneLine.findMany()
  const said = [...(await db.textIn.findMany()), ...(await db.textOut.findMany())].map(({ body }) => body)
  const names = [...people, ...children, ...former].flatMap(({ name }) =>
    name.split(' ').filter((word) => word !== ''),
  )
  const phones = [...people.map(({ phone }) => phone), ...lineRows.map(({ number }) => number)]
  return {
    words: [...names, ...secrets, ...said.filter((body) => body.length > 6)],
    // Without the country, as it may be said.
    numbers: [
      ...phones.map((phone) => phone.slice(3)),
      ...children.map(({ cardNumber }) => cardNumber),
      ...secrets.filter((secret) => /^\d{6}$/.test(secret)),
    ],
  }
}

test('the logs at the most talkative level and the metrics of a whole run name no person, number, card, text or token', async () => {
  const run = await aWholeRun()
  secrets.push(run.district.token)
  await faults(run)
  await liveUntil('2026-03-10T11:00+03:00')
  const shown = await (await fetch(`${metricsAddress}/metrics`)).text()
  const { words, numbers } = await everythingPrivate()

  // The run was worth looking at.
  expect(words).toEqual(
    expect.arrayContaining(['Ashanti', 'Featherstone', 'Oakenshaw', 'Underhill', 'Thornbury']),
  )
  expect(numbers.length).toBeGreaterThan(8)
  const messages = new Set(lines.map((line) => (JSON.parse(line) as { msg: string }).msg))
  expect([...messages]).toEqual(
    expect.arrayContaining([
      'request failed',
      'page failed',
      'a screen could not be answered',
      'answering a text failed',
      'job failed',
      'a child could not be worked on',
      'a round failed',
      'many accesses are refused',
    ]),
  )
  const all = [...lines, shown].join('\n')
  const close = all.replaceAll(' ', '')
  expect(words.filter((word) => all.includes(word))).toEqual([])
  expect(numbers.filter((number) => close.includes(number))).toEqual([])
})
