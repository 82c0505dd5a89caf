import { z } from 'zod'
import { batchRun } from '../../../src/app/batch-run.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'

const service = await runningService()
const { ask, call, clock, database, deps, handset, liveUntil, tokenFor } = service
beforeEach(async () => {
  await service.empty()
  await database.db.batchRun.deleteMany()
})

const runsShape = z.object({
  runs: z.array(z.looseObject({ kind: z.string(), counts: z.record(z.string(), z.number()).nullable() })),
})

async function runs() {
  const token = await tokenFor('operator')
  return runsShape.parse((await call('GET', '/v1/runs', { token })).body).runs
}

test('a reminder run shows what was sent, what failed and what was left out, with the reasons', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const [sent, refused, stopped] = await Promise.all(
    ['Asha Temba', 'Juma Hill', 'Zawadi Lake'].map((name) =>
      district.enrol({ name, birthDate: '2026-01-20' }),
    ),
  )
  await service.deliver()
  if (sent === undefined || refused === undefined || stopped === undefined)
    throw new Error('three were enrolled')
  await database.db.phoneLine.updateMany({
    where: { number: phoneOf(stopped) },
    data: { preference: 'recall-only' },
  })
  handset.treat(({ to }) =>
    to === phoneOf(refused) ? { answer: { kind: 'rejected', fault: 'number', reason: 'no such phone' } } : {},
  )

  await liveUntil('2026-03-09T08:00+03:00')
  handset.treat(() => ({}))

  const run = (await runs()).find(({ kind, counts }) => kind === 'hand-over handset' && counts !== null)
  expect(run).toMatchObject({
    startedAt: '2026-03-09T05:00:00.000Z',
    endedAt: '2026-03-09T05:00:00.000Z',
    counts: { accepted: 1, rejected: 1, 'withdrawn not-wanted': 1 },
    trouble: null,
  })
})

test('closing the day leaves how many visits were missed and how many children were planned again', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  await district.enrol({ birthDate: '2026-01-20' })

  await liveUntil('2026-03-11T08:00+03:00')

  expect(await runs()).toContainEqual(expect.objectContaining({ kind: 'close-day', counts: { missed: 1 } }))
})

test('a run that breaks off says so; one that found nothing to do leaves no trace', async () => {
  await expect(batchRun(deps, 'broken', () => Promise.reject(new RangeError('no')))).rejects.toThrow('no')
  await batchRun(deps, 'idle', () => Promise.resolve({ done: 0 }))

  const [run, ...others] = await runs()
  expect(others).toEqual([])
  expect(run).toMatchObject({ kind: 'broken', counts: null, trouble: 'RangeError' })
  expect(run?.['endedAt']).not.toBeNull()
})

test('a death ends every text at once, also one that failed and waits to be sent again', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  await service.deliver()
  handset.treat(() => ({ answer: { kind: 'unclear', reason: 'no answer' } }))
  await liveUntil('2026-03-09T08:00+03:00')
  handset.treat(() => ({}))
  const before = handset.inbox(phoneOf(child)).length

  await call('POST', `/v1/children/${child.id}/status`, {
    token: district.token,
    body: { status: 'died', on: '2026-03-09' },
  })
  await liveUntil('2026-03-09T08:05+03:00')

  expect(handset.inbox(phoneOf(child))).toHaveLength(before)
  expect(await ask(district.vaccinator, `CARD ${child.cardNumber}`)).toMatch(/no longer followed/)
})
