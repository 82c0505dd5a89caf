import { recountCoverage } from '../../src/app/recount-coverage.ts'
import { reportCoverage } from '../../src/app/report-coverage.ts'
import type { CoverageQuestion } from '../../src/app/report-coverage.ts'
import { loadShelf } from '../../src/main/shelf.ts'
import type { Database } from '../../src/store/database.ts'
import { DOSES_A_CHILD, fillRegister } from './fill-register.ts'
import { elapsed, measured, median, notJudged } from './measurement.ts'
import type { Measurement } from './measurement.ts'

/** The children of whom the bounds speak. */
export const FULL_SIZE = 1_000_000
const ROUNDS = 5
const REPORTS_A_ROUND = 5
const NOTE = 'the bound is for 1,000,000 children: --size full'

/**
 * Coverage by village of one district from the sums, and a full recount, beside one sequential count of the dose table,
 * in turns; medians. In an empty, migrated database that is filled with so many children of five birth years and twelve
 * doses each. A report costs the same however long the table is, so its ratio means something at full size only.
 */
export async function coverageFromSums(database: Database, children: number): Promise<Measurement[]> {
  await fillRegister(database, children)
  const { db } = database
  const shelf = loadShelf()
  const [district] = await db.district.findMany({ orderBy: { name: 'asc' }, take: 1 })
  const question: CoverageQuestion = {
    districtId: district?.id ?? '',
    window: { kind: 'cohort', birthYear: 2024 },
    byAge: '12m',
    measure: 'valid',
    denominator: 'administrative',
  }
  await reportCoverage(db, shelf, question)
  const times = { report: [] as number[], recount: [] as number[], count: [] as number[] }
  for (let round = 0; round < ROUNDS; round += 1) {
    times.count.push(await countTime(database))
    times.recount.push(await elapsed(() => recountCoverage({ database })))
    for (let place = 0; place < REPORTS_A_ROUND; place += 1)
      times.report.push(await elapsed(() => reportCoverage(db, shelf, question)))
  }
  const baseline = median(times.count)
  const n = children * DOSES_A_CHILD
  const report = { name: 'coverage-vs-count', ours: median(times.report), baseline, n, unit: 'ms' }
  const recount = { name: 'recount-vs-count', ours: median(times.recount), baseline, n, unit: 'ms' }
  const line = measured(report, 'at-most', 1 / 50)
  return [children < FULL_SIZE ? notJudged(line, NOTE) : line, measured(recount, 'at-most', 5)]
}

/** How long one plain, sequential count of all doses takes, in milliseconds. */
async function countTime({ pool }: Database): Promise<number> {
  const client = await pool.connect()
  await client.query(
    'set max_parallel_workers_per_gather = 0; set enable_indexonlyscan = off; set statement_timeout = 0',
  )
  const ms = await elapsed(() => client.query('select count(*) from dose'))
  await client.query('reset all')
  client.release()
  return ms
}
