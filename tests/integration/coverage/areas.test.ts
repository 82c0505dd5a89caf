/** Areas above villages on the district counted by hand: drawn anew in the middle of a month, shown as then and as now. */
import { readFileSync } from 'node:fs'
import { areaCsv, areaXlsx } from '../../../src/app/coverage-file.ts'
import { districtFile } from '../../../src/app/district-file.ts'
import { loadDistrict } from '../../../src/app/load-district.ts'
import { reportAreaCoverage } from '../../../src/app/report-area-coverage.ts'
import type { AreaQuestion } from '../../../src/app/report-area-coverage.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { recountSums } from '../../../src/store/coverage.ts'
import { readSheet } from 'read-excel-file/node'
import { fixedClock } from '../../support/fixed-clock.ts'
import { takeRegister } from '../../support/page-server.ts'
import { scheduleFromFile } from '../../support/schedules.ts'
import { openTestDatabase } from '../../support/test-database.ts'
import { testDeps } from '../../support/test-deps.ts'

const database = await openTestDatabase()
const { db, transaction } = database
const deps = testDeps(database, fixedClock('2026-11-25T08:00Z'), [
  scheduleFromFile('tests/fixtures/coverage/schedule.json'),
])
const fixture = (name: string) => readFileSync(`tests/fixtures/coverage/${name}`, 'utf8')

interface Drawn {
  readonly areas?: readonly { readonly name: string; readonly parent?: string }[]
  readonly areasFrom?: string
}
type AreaOf = Readonly<Record<string, string>>

/** The fixture's district with areas; villages by the first letter of their name. */
async function load(drawn: Drawn, areaOf: AreaOf): Promise<string> {
  const file = JSON.parse(fixture('district.json')) as { villages: readonly { name: string }[] }
  const villages = file.villages.map((village) => ({
    ...village,
    area: areaOf[village.name.charAt(0)] ?? null,
  }))
  const parsed = districtFile.parse({ ...file, ...drawn, villages })
  return (await transaction((tx) => loadDistrict(tx, deps, parsed))).district.id
}

const UPLAND = { name: 'Upland' }
const LOWLAND = { name: 'Lowland' }
const NORTH_RIDGE = { name: 'North Ridge', parent: 'Upland' }
const SOUTH_RIDGE = { name: 'South Ridge', parent: 'Upland' }
const BEFORE: Drawn = { areas: [UPLAND, NORTH_RIDGE, SOUTH_RIDGE, LOWLAND], areasFrom: '2025-01-01' }
const AFTER: Drawn = { areas: [UPLAND, NORTH_RIDGE, LOWLAND], areasFrom: '2025-07-11' }
const VILLAGES_BEFORE = { A: 'North Ridge', H: 'South Ridge', T: 'Lowland' }
const VILLAGES_AFTER = { A: 'North Ridge', H: 'Lowland', T: 'Lowland' }

let districtId = ''
beforeAll(async () => {
  districtId = await load(BEFORE, VILLAGES_BEFORE)
  await takeRegister({ deps }, districtId, fixture('register.csv'))
  await load(AFTER, VILLAGES_AFTER)
})

const SUMMER = {
  kind: 'period',
  fromOn: mustParseDay('2025-06-01'),
  toOn: mustParseDay('2025-08-31'),
} as const
const report = (more: Partial<AreaQuestion> = {}) =>
  reportAreaCoverage(db, deps.shelf, {
    districtId,
    window: SUMMER,
    byAge: 'any',
    measure: 'crude',
    denominator: 'administrative',
    level: null,
    shown: 'then',
    asOf: mustParseDay('2026-11-25'),
    ...more,
  })

const linesOf = async (more: Partial<AreaQuestion>, dose: string) =>
  areaCsv(await report(more))
    .split('\n')
    .filter((line) => line.includes(`,${dose},`))

describe('a period in which a village changed its area', () => {
  // First doses June to August 2025: Amber Ford 10 and 16 June, 14 July, 18 August; High Elms 2 and 23 June, then 28 July and
  // 18 August; Tall Reeds 30 June, 4 August. Yearly targets 15.2, 9.5 and 5.7. High Elms lay in Upland for one month and 10 of
  // 31 days, 9.5 × (1 + 10/31) ÷ 12 = 1.047 of its target, and in Lowland for the other 1.328.
  test('counts each dose and each day of target where the village lay then', async () => {
    expect(await linesOf({ shown: 'then' }, 'PENTA,1')).toEqual([
      'Lowland,1,PENTA,1,4,2.8,145.3,over-100 small-number',
      'Upland,1,PENTA,1,6,4.8,123.8,over-100 small-number',
      'North Ridge,2,PENTA,1,4,3.8,105.3,over-100 small-number',
      'South Ridge,2,PENTA,1,2,1.0,191.0,over-100 small-number',
      'ALL,,PENTA,1,10,7.6,131.6,over-100 small-number',
    ])
  })

  test('is restated in the areas of today where that is asked', async () => {
    expect(await linesOf({ shown: 'now' }, 'PENTA,1')).toEqual([
      'Lowland,1,PENTA,1,6,3.8,157.9,over-100 small-number',
      'Upland,1,PENTA,1,4,3.8,105.3,over-100 small-number',
      'North Ridge,2,PENTA,1,4,3.8,105.3,over-100 small-number',
      'ALL,,PENTA,1,10,7.6,131.6,over-100 small-number',
    ])
  })

  test('of one level adds up to the whole, villages without such an area apart', async () => {
    expect(
      (await linesOf({ level: 2 }, 'PENTA,1')).map((line) => line.split(',').slice(0, 5).join(',')),
    ).toEqual(['North Ridge,2,PENTA,1,4', 'South Ridge,2,PENTA,1,2', 'NONE,,PENTA,1,4', 'ALL,,PENTA,1,10'])
  })
})

describe('other windows', () => {
  // Child 11 alone was born in 2024 (BCG of 26 and 16 births a year); in 2025 Amber Ford has 10 with BCG, the others 8 and 8.
  test('a birth cohort stands in the areas of the end of its year', async () => {
    const of = (birthYear: number, shown: 'then' | 'now') =>
      linesOf({ window: { kind: 'cohort', birthYear }, shown, level: 1 }, 'BCG,1')
    expect((await of(2024, 'then'))[1]).toBe('Upland,1,BCG,1,1,26.0,3.8,')
    expect((await of(2024, 'now'))[1]).toBe('Upland,1,BCG,1,1,16.0,6.3,')
    expect(await of(2025, 'then')).toEqual([
      'Lowland,1,BCG,1,16,16.0,100.0,',
      'Upland,1,BCG,1,10,16.0,62.5,',
      'ALL,,BCG,1,26,32.0,81.3,',
    ])
  })

  test('against the register the children enrolled are added up', async () => {
    const window = { kind: 'register' } as const
    expect(await linesOf({ window, denominator: 'enrolled', level: 1 }, 'MR,1')).toEqual([
      'Lowland,1,MR,1,14,18.0,77.8,',
      'Upland,1,MR,1,8,12.0,66.7,',
      'ALL,,MR,1,22,30.0,73.3,',
    ])
  })

  test('the workbook has the same columns with numbers as numbers', async () => {
    const rows = await readSheet(
      await areaXlsx(await report({ window: { kind: 'cohort', birthYear: 2025 }, level: 1 })),
    )
    expect(rows[0]?.slice(0, 5)).toEqual(['area', 'level', 'series', 'dose', 'numerator'])
    expect(rows[1]?.slice(0, 5)).toEqual(['Lowland', 1, 'BCG', 1, 16])
  })
})

describe('loading', () => {
  const stored = () => db.areaShape.findMany({ where: { districtId }, orderBy: { fromOn: 'asc' } })

  test('the same again changes nothing, and a file that says nothing of areas leaves them', async () => {
    const before = await stored()
    expect(before).toHaveLength(2)
    await load(AFTER, VILLAGES_AFTER)
    await load({ ...AFTER, areasFrom: '2026-11-25' }, VILLAGES_AFTER)
    await load({}, {})
    expect(await stored()).toEqual(before)
  })

  test('drawing areas anew moves no sum', async () => {
    expect(await transaction(recountSums)).toBe(0)
  })

  test.each([
    ['an area no one named', { areas: [UPLAND] }, { A: 'Nowhere' }, 'lie in Nowhere'],
    ['a part of what is not there', { areas: [NORTH_RIDGE] }, {}, 'part of Upland'],
    ['an area twice', { areas: [UPLAND, UPLAND] }, {}, 'stands twice'],
    ['a word of reports', { areas: [{ name: 'ALL' }] }, {}, 'called ALL'],
    [
      'areas in a circle',
      {
        areas: [
          { name: 'One', parent: 'Two' },
          { name: 'Two', parent: 'One' },
        ],
      },
      {},
      'a part of itself',
    ],
  ] as const)('refuses %s', async (_, drawn, areaOf, words) => {
    await expect(load(drawn, areaOf)).rejects.toMatchObject({
      code: 'areas-unfit',
      detail: expect.stringContaining(words) as string,
    })
  })
})
