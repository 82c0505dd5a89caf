import { closePassedVisits } from '../../src/app/close-passed-visits.ts'
import type { Database } from '../../src/store/database.ts'
import { fixedClock } from '../support/fixed-clock.ts'
import { testDeps } from '../support/test-deps.ts'
import { fillRegister } from './fill-register.ts'
import { onEmptyDatabase } from './on-empty-database.ts'
import { elapsed, measured, median } from './measurement.ts'
import type { Measurement } from './measurement.ts'

const ROUNDS = 5
const A_ROUND = 40

/**
 * The time to plan a child again after a change of schedule, on a register ten times as large as another; both stand side
 * by side and are worked on in turns, medians. Every child waits for its turn, some of them today.
 */
export async function planGrowth(children: number): Promise<Measurement> {
  const [ours, baseline]: [number[], number[]] = [[], []]
  await onEmptyDatabase((large) =>
    onEmptyDatabase(async (small) => {
      await fillRegister(large, children)
      await fillRegister(small, children / 10)
      await timePlanned(large)
      await timePlanned(small)
      for (let round = 0; round < ROUNDS; round += 1) {
        ours.push(await timePlanned(large))
        baseline.push(await timePlanned(small))
      }
    }),
  )
  const figures = { ours: median(ours), baseline: median(baseline), n: children, unit: 'ms a child' }
  return measured({ name: 'plan-growth', ...figures }, 'at-most', 1.2)
}

async function timePlanned(database: Database): Promise<number> {
  const { pool } = database
  await pool.query(`update child set plan_again_on = '2026-11-26' where plan_again_on is null`)
  await pool.query(
    `update child set plan_again_on = '2026-11-25'
     where id in (select id from child where plan_again_on = '2026-11-26' order by id limit ${A_ROUND})`,
  )
  const deps = testDeps(database, fixedClock('2026-11-25T08:00Z'))
  let planned = 0
  const ms = await elapsed(async () => {
    planned = (await closePassedVisits(deps)).plannedAgain
  })
  if (planned !== A_ROUND) throw new Error(`${planned} children were planned, not ${A_ROUND}`)
  return ms / A_ROUND
}
