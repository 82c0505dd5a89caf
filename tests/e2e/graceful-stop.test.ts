/** Real processes that are asked to stop in the middle of something, and restarted one by one. */
import { setTimeout as delay } from 'node:timers/promises'
import { apiClient } from '../support/api-client.ts'
import { openRoleCrew, until } from '../support/role-crew.ts'
import type { RoleProcess } from '../support/role-process.ts'
import { newDistrict } from '../support/test-district.ts'

const { database, provider, start, tokenFor } = await openRoleCrew({
  FAST_FROM: new Date().toISOString(),
  FAST_START: '2026-03-10T10:00+03:00',
  FAST_TIMES: '1',
})
const API = 'api,receiver'
const WORKER = 'planner,sender'
/** For a process to come to the point where it waits for us. */
const A_MOMENT_MS = 300

const [api, worker] = await start(API, WORKER)
if (api === undefined || worker === undefined) throw new Error('not all started')
const district = await newDistrict({ call: apiClient(api.address), tokenFor })

const open = () => database.db.textOut.count({ where: { status: { in: ['waiting', 'sending'] } } })
const settled = () => until('nothing waits', async () => (await open()) === 0)

test('a request under way is finished and answered before its process ends, and none is taken after it', async () => {
  const [stopping] = await start(API)
  if (stopping === undefined) throw new Error('not started')
  const child = await district.enrol({ birthDate: '2026-01-20' })
  const holder = await database.pool.connect()
  await holder.query('begin')
  await holder.query('select 1 from child where id = $1 for update', [child.id])

  const answer = apiClient(stopping.address)('POST', `/v1/children/${child.id}/doses`, {
    token: district.token,
    body: { vaccines: ['BCG'], givenOn: '2026-01-20' },
  })
  await delay(A_MOMENT_MS)
  const stopped = stopping.stop()
  await until('the door is shut', () =>
    fetch(`${stopping.address}/health/live`).then(
      () => false,
      () => true,
    ),
  )
  await holder.query('rollback')
  holder.release()

  expect((await answer).status).toBe(201)
  await stopped
  expect(await database.db.dose.count({ where: { childId: child.id } })).toBe(1)
})

test('a text that is being sent is stored as taken before its process ends, and is not sent again', async () => {
  await settled()
  const before = provider.taken.length
  let giveAnswer = (): void => undefined
  provider.answerAfter(new Promise<void>((resolve) => (giveAnswer = resolve)))
  const child = await district.enrol({ birthDate: '2026-01-21' })
  provider.callBackAt(api.address)
  expect(await provider.deliver(district.vaccinator, `WHEN ${child.cardNumber}`)).toBe(200)
  await until('the provider has it', () => provider.taken.length > before)

  const stopped = worker.stop()
  await delay(A_MOMENT_MS)
  giveAnswer()
  await stopped

  expect(await database.db.textOut.count({ where: { status: 'sending' } })).toBe(0)
  const [next] = await start(WORKER)
  await settled()
  const keys = provider.taken.slice(before).map(({ idempotencyKey }) => idempotencyKey)
  expect(new Set(keys).size).toBe(keys.length)
  await next?.stop()
})

test('a rolling restart of two APIs and two workers under load loses no text and does nothing twice', async () => {
  const children = await Promise.all(
    Array.from({ length: 40 }, (_, place) =>
      district.enrol({
        name: `Asha ${String.fromCodePoint(65 + (place % 26), 97 + place)}`,
        birthDate: '2026-01-22',
        isKnownToBeNew: true,
      }),
    ),
  )
  let apis = [api, ...(await start(API))]
  let workers = await start(WORKER, WORKER)
  const first = provider.taken.length
  let refused = 0

  // As a provider does: what was not taken is brought again, to the next address.
  const report = async (cardNumber: string, key: string): Promise<void> => {
    for (let turn = 0; turn < 100; turn += 1) {
      provider.callBackAt(apis[turn % apis.length]?.address ?? '')
      const status = await provider
        .deliver(district.vaccinator, `GAVE ${cardNumber} BCG PENTA`, key)
        .catch(() => 0)
      if (status === 200) return
      refused += 1
    }
    throw new Error(`nobody took ${key}`)
  }
  let begun = 0
  const reports = (async () => {
    for (const [place, { cardNumber }] of children.entries()) {
      // A quarter of the reports comes in during each restart.
      await until('the next restart', () => begun > (place * 4) / children.length - 1)
      await report(cardNumber, `rolling-${place}`)
    }
  })()

  const renewed = async (old: readonly RoleProcess[], one: RoleProcess): Promise<RoleProcess[]> => {
    begun += 1
    await one.stop()
    return [...old.filter((each) => each !== one), ...(await start(one.roles))]
  }
  for (const one of [...workers]) workers = await renewed(workers, one)
  for (const one of [...apis]) apis = await renewed(apis, one)
  await reports
  const sent = () => provider.taken.slice(first)
  const replies = () =>
    sent().filter(
      ({ phone, words }) => phone === district.vaccinator && words.includes(' BCG 1, PENTA 1 recorded for '),
    )
  await until('a reply to each report', () => replies().length >= children.length)
  await settled()

  const ids = children.map(({ id }) => id)
  const doses = await database.db.dose.groupBy({
    by: ['childId'],
    where: { childId: { in: ids } },
    _count: true,
  })
  expect(doses.map(({ _count }) => _count)).toEqual(children.map(() => 2))
  expect(new Set(replies().map(({ words }) => words)).size).toBe(children.length)
  expect(replies()).toHaveLength(children.length)
  const keys = sent().map(({ idempotencyKey }) => idempotencyKey)
  expect(new Set(keys).size).toBe(keys.length)
  // It was a restart under load: some calls met the door of a process that was going.
  expect(refused).toBeGreaterThan(0)
  process.stderr.write(`${children.length} reports over 4 restarts, ${refused} calls brought again\n`)
}, 240_000)
