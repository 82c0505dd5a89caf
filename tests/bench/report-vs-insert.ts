import { randomUUID } from 'node:crypto'
import express from 'express'
import { formatDay } from '../../src/core/days/day.ts'
import { buildServer } from '../../src/http/server.ts'
import { listen } from '../../src/main/listen.ts'
import { openLifecycle } from '../../src/platform/lifecycle.ts'
import type { Database } from '../../src/store/database.ts'
import { benchDistrict } from './a-district.ts'
import type { Call } from './http-load.ts'
import { hangUp, post, timesOf } from './http-load.ts'
import { inTurns, measured } from './measurement.ts'
import type { Measurement } from './measurement.ts'

/** What a worker gives at the six-week visit, one report a vaccine. */
const VACCINES = ['BCG', 'BOPV', 'PENTA', 'PCV']
const LANES = 8
const BOUND = 0.35

/**
 * Dose reports over HTTP (read, authorised, judged, stored, planned again, answered) a second, beside a bare Express
 * handler that does one INSERT into a table of the same columns; both by as many callers at once, in turns.
 */
export async function reportVsInsert(database: Database, rounds: number): Promise<Measurement> {
  const perRound = 40
  const { deps, today, token, children } = await benchDistrict(
    database,
    (rounds * perRound) / VACCINES.length,
  )
  await database.pool.query('create table bare_dose (like dose including all)')
  const lifecycle = openLifecycle(5000)
  const server = buildServer({ deps, version: '0', receivers: new Map(), pages: [] })
  const ours = await listen(server, { host: '127.0.0.1', port: 0, lifecycle })
  const bare = await listen(bareServer(database), { host: '127.0.0.1', port: 0, lifecycle })
  const headers = { authorization: `Bearer ${token}`, 'content-type': 'application/json' }
  const reports = children.flatMap(({ id }) =>
    VACCINES.map((vaccine): Call => {
      const body = JSON.stringify({ vaccines: [vaccine], givenOn: formatDay(today) })
      return { path: `/v1/children/${id}/doses`, headers, body }
    }),
  )
  let place = 0
  const send = (address: string, calls: readonly Call[]) =>
    timesOf(
      calls.map((call) => () => post(address, call, 201)),
      LANES,
    )
  const next = (): readonly Call[] => reports.slice(place, (place += perRound))
  const inserts = children.slice(0, perRound).map(({ id, districtId, birthOn }): Call => {
    const body = { id, districtId, birthOn: formatDay(birthOn), vaccine: 'PCV', givenOn: formatDay(today) }
    return { path: '/doses', headers, body: JSON.stringify(body) }
  })
  await send(ours, next())
  await send(bare, inserts)
  const times = await inTurns(
    rounds - 1,
    () => send(ours, next()),
    () => send(bare, inserts),
  )
  hangUp()
  await lifecycle.stop()
  const rate = (ms: number): number => (perRound * 1000) / ms
  const figures = {
    ours: rate(times.ours),
    baseline: rate(times.baseline),
    n: reports.length,
    unit: 'reports/s',
  }
  return measured({ name: 'report-vs-insert', ...figures }, 'at-least', BOUND)
}

function bareServer({ pool }: Database): express.Express {
  const app = express()
  app.use(express.json())
  app.post('/doses', async (request, response) => {
    const { id, districtId, birthOn, vaccine, givenOn } = request.body as Record<string, string>
    await pool.query(
      `insert into bare_dose
         (id, district_id, child_id, birth_on, vaccine, given_on, recorded_by, recorded_via, recorded_at)
       values ($1, $2, $3, $4, $5, $6, 'bench', 'api', now())`,
      [randomUUID(), districtId, randomUUID(), birthOn, vaccine, givenOn],
    )
    response.status(201).json({ id })
  })
  return app
}
