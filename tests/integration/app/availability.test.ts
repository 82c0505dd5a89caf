import { openPresence } from '../../../src/app/note-presence.ts'
import { reportAvailability } from '../../../src/app/report-availability.ts'
import { runDuebell } from '../../support/run-duebell.ts'
import { fixedClock } from '../../support/fixed-clock.ts'
import { openTestDatabase } from '../../support/test-database.ts'
import { testDeps } from '../../support/test-deps.ts'

const database = await openTestDatabase()
const clock = fixedClock('2026-03-02T09:00Z')
const deps = testDeps(database, clock)

test('availability is counted from the heartbeats of processes, and a pause is told with its length', async () => {
  const api = openPresence(deps, { roles: ['api'], release: '1.0.0' })
  const worker = openPresence(deps, { roles: ['planner', 'sender', 'receiver'], release: '1.0.0' })
  const beats = async (minutes: number, ...processes: readonly { beat: () => Promise<void> }[]) => {
    for (let minute = 0; minute < minutes; minute += 1) {
      // Two processes may say so of one minute, and one may say so twice.
      await Promise.all([...processes, ...processes].map(({ beat }) => beat()))
      clock.advance({ minutes: 1 })
    }
  }
  await beats(90, api, worker)
  await beats(10, worker)
  await beats(100, api, worker)

  const { from, to, service, byRole } = await reportAvailability(deps, 30)

  expect([from, to]).toEqual([new Date('2026-03-02T09:00Z'), new Date('2026-03-02T12:20Z')])
  expect(service).toEqual({
    expectedMinutes: 200,
    upMinutes: 190,
    ratio: 0.95,
    pauses: [{ fromMs: Date.UTC(2026, 2, 2, 10, 30), minutes: 10 }],
  })
  expect([byRole.get('api')?.ratio, byRole.get('sender')?.ratio]).toEqual([0.95, 1])
})

test('a process that ends says so, and one that died is forgotten after a day', async () => {
  const before = await database.db.serviceProcess.count()
  const ending = openPresence(deps, { roles: ['sender'], release: '1.0.0' })
  await ending.beat()
  expect(await database.db.serviceProcess.count()).toBe(before + 1)
  await ending.leave()
  expect(await database.db.serviceProcess.count()).toBe(before)

  clock.advance({ days: 2 })
  const last = openPresence(deps, { roles: ['api'], release: '1.1.0' })
  await last.beat()
  expect(await database.db.serviceProcess.findMany()).toMatchObject([{ roles: 'api', release: '1.1.0' }])
})

test('duebell availability compares with what is promised, and duebell doctor finds parts that do not fit', async () => {
  const seenAt = new Date()
  await database.db.serviceProcess.deleteMany()
  await database.db.serviceProcess.create({
    data: { id: deps.newId(), roles: 'api', release: '0.0.9', startedAt: seenAt, seenAt },
  })
  const hour = new Date(Math.floor(seenAt.getTime() / 3_600_000) * 3_600_000 - 3_600_000)
  const minutes = (1n << 60n) - 1n
  await database.db.uptimeHour.createMany({
    data: ['api', 'planner', 'sender', 'receiver'].map((role) => ({ role, hour, minutes })),
  })

  const environment = { DATABASE_URL: database.url, PROMISED_AVAILABILITY: '10' }
  const availability = await runDuebell(['availability', '--days', '1'], environment)
  expect(availability.output).toMatch(
    /^service +\d+\.\d{3} % of the time, 60 of \d+ min; promised 10 %: kept$/m,
  )
  const doctor = await runDuebell(['doctor', '--only', 'releases'], environment)
  expect(doctor.output).toMatch(/^doubtful +releases +this is \S+, but api is of 0\.0\.9\n +-> Restart/)
})
