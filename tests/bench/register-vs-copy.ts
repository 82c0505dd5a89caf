import { mkdtempSync, rmSync, chmodSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { importRegister } from '../../src/app/import-register.ts'
import type { RegisterLine } from '../../src/app/import-register.ts'
import { districtFile } from '../../src/app/district-file.ts'
import { loadDistrict } from '../../src/app/load-district.ts'
import { addDays, formatDay, mustParseDay } from '../../src/core/days/day.ts'
import type { Database } from '../../src/store/database.ts'
import { fixedClock } from '../support/fixed-clock.ts'
import { testDeps } from '../support/test-deps.ts'
import type { Measurement } from './measurement.ts'

const DOSES = [
  ['BCG', 1],
  ['HEPB0', 0],
  ['OPV1', 42],
  ['OPV2', 70],
  ['OPV3', 98],
  ['PENTA1', 42],
  ['PENTA2', 70],
  ['PENTA3', 98],
  ['PCV1', 42],
  ['PCV2', 70],
  ['PCV3', 98],
  ['MR1', 275],
] as const
const VILLAGES = 100
const villageName = (place: number): string => `Village ${place}`
const DISTRICT = {
  district: {
    name: 'Two Rivers',
    timeZone: 'Africa/Nairobi',
    region: 'GB',
    languages: ['en'],
    schedule: 'who-2025-preferred',
  },
  posts: [{ name: 'Ford post', sessions: ['FREQ=WEEKLY;BYDAY=MO'] }],
  villages: Array.from({ length: VILLAGES }, (_, place) => ({ name: villageName(place), post: 'Ford post' })),
}
const FIRST_BIRTH_ON = mustParseDay('2024-01-01')

/**
 * Taking a register over, beside a COPY of the same children and doses into tables with the same indexes and keys.
 * Works in an empty, migrated database.
 */
export async function registerVsCopy(database: Database, children: number): Promise<Measurement> {
  const { pool } = database
  const deps = testDeps(database, fixedClock('2026-11-25T08:00Z'))
  const { district } = await database.transaction((tx) =>
    loadDistrict(tx, deps, districtFile.parse(DISTRICT)),
  )
  const order = {
    districtId: district.id,
    by: 'bench',
    isDryRun: false,
    onProblem: ({ advice }: { readonly advice: string }) => {
      throw new Error(advice)
    },
    onProgress: () => undefined,
  }
  const importMs = await elapsed(() => importRegister(deps, order, registerOf(children)))
  const folder = mkdtempSync(join(tmpdir(), 'duebell-bench-'))
  chmodSync(folder, 0o777)
  const client = await pool.connect()
  try {
    await client.query('set statement_timeout = 0')
    await client.query(
      `copy child to '${folder}/child';
       copy dose to '${folder}/dose';
       create table copied_child (like child including all);
       create table copied_dose (
         like dose including all, foreign key (child_id, birth_on) references copied_child (id, birth_on)
       )`,
    )
    const copyMs = await elapsed(() =>
      client.query(`copy copied_child from '${folder}/child'; copy copied_dose from '${folder}/dose'`),
    )
    const ratio = copyMs / importMs
    const name = 'import-vs-copy'
    return {
      name,
      ours: importMs,
      baseline: copyMs,
      ratio,
      bound: 0.1,
      ok: ratio >= 0.1,
      n: children,
      unit: 'ms',
    }
  } finally {
    await client.query('drop table if exists copied_dose, copied_child')
    client.release()
    rmSync(folder, { recursive: true })
  }
}

async function elapsed(work: () => Promise<unknown>): Promise<number> {
  const start = performance.now()
  await work()
  return performance.now() - start
}

/** A register kept village by village, as they are, of children who come on their days or up to six days later. */
async function* registerOf(children: number): AsyncGenerator<RegisterLine> {
  const titles = ['name', 'sex', 'birth_date', 'village', 'phone', ...DOSES.map(([title]) => title)]
  yield await Promise.resolve({ line: 1, cells: titles })
  for (let place = 0; place < children; place++) {
    const birthOn = addDays(FIRST_BIRTH_ON, (place * 37) % 365)
    const days = DOSES.map(([, age], index) => formatDay(addDays(birthOn, age + ((place * 13 + index) % 7))))
    const village = villageName(Math.floor((place * VILLAGES) / children))
    const phone = `07700900${String(place % 1000).padStart(3, '0')}`
    const cells = [
      `Child ${place}`,
      place % 2 === 0 ? 'female' : 'male',
      formatDay(birthOn),
      village,
      phone,
      ...days,
    ]
    yield { line: place + 2, cells }
  }
}
