/** Two processes of the API and four workers share a district's work; one of them dies in the middle. */
import { apiClient } from '../support/api-client.ts'
import type { ApiClient } from '../support/api-client.ts'
import { openRoleCrew, until } from '../support/role-crew.ts'
import type { RoleProcess } from '../support/role-process.ts'
import { isGreeting } from '../support/running-service.ts'
import { newDistrict, phoneOf } from '../support/test-district.ts'

const CHILDREN = 24

/** A lease of two minutes (src/app/submit-text.ts) is over in four seconds. */
const { database, provider, start, tokenFor } = await openRoleCrew({
  FAST_FROM: new Date().toISOString(),
  FAST_START: '2026-03-10T10:00+03:00',
  FAST_TIMES: '30',
})

/** What reached phones: a provider that knows our ids passes a repeat on to nobody. */
const delivered = () => [...new Map(provider.taken.map((text) => [text.idempotencyKey, text])).values()]

test('the work is shared and nothing is lost or done twice, though a worker is killed in between', async () => {
  const apis = await start('api', 'api')
  const workers = await start('planner,sender', 'planner,receiver', 'sender,receiver', 'sender,receiver')
  const [, second, third, fourth] = workers
  if (second === undefined || third === undefined || fourth === undefined) throw new Error('not all started')
  const clients = apis.map(({ address }) => apiClient(address))
  let calls = 0
  const call: ApiClient = async (...request) => {
    const client = clients[(calls += 1) % clients.length]
    if (client === undefined) throw new Error('no API')
    return client(...request)
  }
  const district = await newDistrict({ call, tokenFor })
  const names = Array.from(
    { length: CHILDREN },
    (_, place) => `Asha ${String.fromCodePoint(65 + place)}akari`,
  )
  const children = await Promise.all(
    names.map((name) => district.enrol({ name, birthDate: '2026-01-20', isKnownToBeNew: true })),
  )

  // Each report is delivered twice, to two receivers; one that is dead refuses, and the provider has another.
  const report = async (cardNumber: string, place: number, receivers: readonly RoleProcess[]) => {
    for (const turn of [0, 1]) {
      provider.callBackAt(receivers[(place + turn) % receivers.length]?.address ?? '')
      const status = provider.deliver(district.vaccinator, `GAVE ${cardNumber} BCG PENTA`, `report-${place}`)
      expect(await status).toBe(200)
    }
  }
  const half = CHILDREN / 2
  for (const [place, { cardNumber }] of children.slice(0, half).entries())
    await report(cardNumber, place, [second, third, fourth])
  await fourth.kill()
  for (const [place, { cardNumber }] of children.slice(half).entries())
    await report(cardNumber, half + place, [second, third])

  const toFamilies = () => delivered().filter((text) => text.phone !== district.vaccinator)
  const replies = () => delivered().filter((text) => text.phone === district.vaccinator)
  await until('a reply to each report', () => replies().length >= CHILDREN)
  await until('a greeting and advice for each family', () => toFamilies().length >= 2 * CHILDREN)
  await until('nothing waits', async () => {
    const open = { status: { in: ['waiting', 'sending'] } }
    return (await database.db.textOut.count({ where: open })) === 0
  })

  expect(replies().filter(({ words }) => words.includes(' BCG 1, PENTA 1 recorded for '))).toHaveLength(
    CHILDREN,
  )
  expect(new Set(replies().map(({ words }) => words)).size).toBe(CHILDREN)
  for (const child of children) {
    const words = toFamilies()
      .filter(({ phone }) => phone === phoneOf(child))
      .map((text) => (isGreeting(text.words) ? 'greeting' : text.words.slice(0, 24)))
    expect(words.sort()).toEqual(['Ford, after the vaccines', 'greeting'])
  }
  const doses = await database.db.dose.groupBy({ by: ['childId'], _count: true })
  expect(doses.map(({ _count }) => _count)).toEqual(children.map(() => 2))
  expect(await database.db.textIn.count()).toBe(CHILDREN)
  expect(await database.db.appointment.count({ where: { status: 'planned' } })).toBe(CHILDREN)

  const shares = await Promise.all([...apis, ...workers].map((one) => one.stop()))
  const read = shares.map((share) => share?.['read-text'] ?? 0)
  const sent = shares.map((share) => (share?.['send-text'] ?? 0) + (share?.['hand-over'] ?? 0))
  // In the order of their start: two APIs, then the workers, the last of which cannot say any more.
  expect(read.map((count) => count > 0)).toEqual([false, false, false, true, true, false])
  expect(sent.map((count) => count > 0)).toEqual([false, false, true, false, true, false])
}, 240_000)
