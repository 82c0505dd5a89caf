import { execFile } from 'node:child_process'
import { promisify } from 'node:util'
import { z } from 'zod'

/* The short form of `npm run chaos`: the service under load, hurt on purpose. */

const REMINDERS = 300
const MOST_MS = 180_000

const outcome = z.strictObject({
  scenario: z.string(),
  reminders: z.int(),
  lost: z.int(),
  duplicates: z.int(),
  late: z.int(),
  kills: z.int(),
  seconds: z.number(),
  inFlight: z.int(),
})
type Outcome = z.output<typeof outcome>

let outcomes: ReadonlyMap<string, Outcome>

beforeAll(async () => {
  const { stdout } = await promisify(execFile)(
    process.execPath,
    ['--import', 'tsx', 'tests/chaos/chaos.ts', '--short', '--reminders', String(REMINDERS)],
    // Its processes are not tests, and its servers are its own.
    { env: { ...process.env, NODE_OPTIONS: '', DATABASE_URL: '', REDIS_URL: '' }, timeout: MOST_MS },
    // A scenario that went wrong also ends it badly; the tests below say which.
  ).catch((error: unknown) => error as { readonly stdout: string })
  const lines = stdout.split('\n').filter((line) => line !== '')
  outcomes = new Map(lines.map((line) => outcome.parse(JSON.parse(line))).map((one) => [one.scenario, one]))
}, MOST_MS)

const of = (scenario: string): Outcome => {
  const found = outcomes.get(scenario)
  if (found === undefined) throw new Error(`no outcome of ${scenario}`)
  return found
}
const UNHURT = { reminders: REMINDERS, lost: 0, duplicates: 0, late: 0 }

describe('of reminders under way nothing is lost, and nothing leaves outside the hours', () => {
  test('nor twice, when workers are killed and the gateway knows our ids', () => {
    expect(of('workers-killed-http')).toMatchObject(UNHURT)
  })

  test('when workers are killed at any moment: twice at most what was in flight', () => {
    const { duplicates, inFlight, ...rest } = of('workers-killed-smpp')

    expect(rest).toMatchObject({ lost: 0, late: 0, kills: 2 })
    expect(duplicates).toBeLessThanOrEqual(inFlight)
  })

  test('nor twice, when Redis is emptied', () => {
    expect(of('redis-emptied')).toMatchObject(UNHURT)
  })

  test('when Postgres crashes and comes back', () => {
    const { duplicates, inFlight, ...rest } = of('postgres-restarted')

    expect(rest).toMatchObject({ lost: 0, late: 0 })
    expect(duplicates).toBeLessThanOrEqual(inFlight)
  })

  test('when the message centre takes texts and says nothing', () => {
    const { duplicates, inFlight, ...rest } = of('smsc-silent')

    expect(rest).toMatchObject({ lost: 0, late: 0 })
    expect(duplicates).toBeLessThanOrEqual(inFlight)
  })

  test('nor twice, when planners and workers race', () => {
    expect(of('planners-and-workers-race')).toMatchObject(UNHURT)
  })
})
