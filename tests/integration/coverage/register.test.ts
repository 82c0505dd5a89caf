/** A register taken over into a real database, and the coverage that follows from it. */
import { readFileSync } from 'node:fs'
import { Readable } from 'node:stream'
import { stringify } from 'csv-stringify/sync'
import writeXlsxFile from 'write-excel-file/node'
import { coverageCsv, coverageXlsx, publishedCsv } from '../../../src/app/coverage-file.ts'
import type { RegisterLine } from '../../../src/app/import-register.ts'
import { importRegister } from '../../../src/app/import-register.ts'
import { districtFile } from '../../../src/app/district-file.ts'
import { loadDistrict } from '../../../src/app/load-district.ts'
import { csvLines, xlsxLines } from '../../../src/app/register-lines.ts'
import { reportFlows } from '../../../src/app/report-flows.ts'
import { reportDropout } from '../../../src/app/report-dropout.ts'
import { BREAKDOWNS, reportDosesGiven } from '../../../src/app/report-doses-given.ts'
import { reportCoverage } from '../../../src/app/report-coverage.ts'
import type { CoverageQuestion } from '../../../src/app/report-coverage.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { recountSums } from '../../../src/store/coverage.ts'
import { readSheet } from 'read-excel-file/node'
import { fixedClock } from '../../support/fixed-clock.ts'
import { scheduleFromFile } from '../../support/schedules.ts'
import { openTestDatabase } from '../../support/test-database.ts'
import { testDeps } from '../../support/test-deps.ts'
import { childNamed } from '../../support/child-named.ts'

const database = await openTestDatabase()
const { db, pool, transaction } = database
const schedule = scheduleFromFile('tests/fixtures/coverage/schedule.json')
const deps = testDeps(database, fixedClock('2026-11-25T08:00Z'), [schedule])

const fixture = (name: string) =>
  readFileSync(new URL(`../../fixtures/coverage/${name}`, import.meta.url), 'utf8')
const REGISTER = fixture('register.csv')
const TITLES = [
  'card_number',
  'name',
  'sex',
  'birth_date',
  'village',
  'phone',
  'language',
  'BCG',
  'PENTA1',
  'PENTA2',
]

let districtId = ''
beforeAll(async () => {
  const file = districtFile.parse(JSON.parse(fixture('district.json')))
  districtId = (await transaction((tx) => loadDistrict(tx, deps, file))).district.id
})

async function take(lines: AsyncIterable<RegisterLine>, isDryRun = false, into = districtId) {
  const problems: string[] = []
  const order = {
    districtId: into,
    by: 'test',
    isDryRun,
    onProblem: ({ line, column, value, code }: Record<'line' | 'column' | 'value' | 'code', unknown>) => {
      problems.push(`${String(line)} ${String(column)} "${String(value)}" ${String(code)}`)
    },
    onProgress: () => undefined,
  }
  const result = await importRegister(deps, order, lines)
  return { problems, result }
}

const csv = (text: string) => csvLines(Readable.from([text]))
const rows = (...cells: readonly (readonly string[])[]) => csv(stringify([TITLES, ...cells]))

/** Everything the register may have written; equal before and after means that nothing changed. */
async function contents(): Promise<unknown> {
  const tables = ['child', 'caregiver', 'phone_line', 'dose', 'dose_verdict', 'counted_child', 'counted_fact']
  const read = async (table: string, keys: string): Promise<unknown> =>
    (await pool.query<Record<string, unknown>>(`select * from ${table} order by ${keys}`)).rows
  return Promise.all([...tables.map((table) => read(table, '1, 2, 3')), read('coverage_cell', '1')])
}

const report = (more: Partial<CoverageQuestion> = {}) =>
  reportCoverage(db, deps.shelf, {
    districtId,
    window: { kind: 'register' },
    byAge: 'any',
    measure: 'crude',
    denominator: 'administrative',
    ...more,
  })

const counted = async (more: Partial<CoverageQuestion>, dose: string) =>
  (await report(more)).rows.filter((row) => `${row.series} ${row.dose}` === dose).map((row) => row.numerator)

describe('the hand-counted district of docs/indicators.md, through the register', () => {
  test('a trial reports what would be done and keeps nothing', async () => {
    const { result, problems } = await take(csv(REGISTER), true)
    expect(problems).toEqual([])
    expect(result).toEqual({ rows: 30, enrolled: 30, known: 0, refused: 0, doses: 128 })
    expect(await db.child.count()).toBe(0)
  })

  test('the coverage of the register equals the table that was worked by hand', async () => {
    const { result } = await take(csv(REGISTER))
    expect(result).toEqual({ rows: 30, enrolled: 30, known: 0, refused: 0, doses: 128 })
    expect(coverageCsv(await report())).toBe(fixture('expected-crude.csv'))
  })

  test.each(BREAKDOWNS)('every dose stands in one part of the breakdown by %s', async (by) => {
    const period = { fromOn: mustParseDay('2020-01-01'), toOn: mustParseDay('2026-12-31') }
    const { parts, total } = await reportDosesGiven(db, districtId, { ...period, by })

    expect(total).toBe(128)
    expect(parts.map(({ doses }) => doses).reduce((sum, doses) => sum + doses)).toBe(128)
    expect(await db.dose.count({ where: { voidedAt: null } })).toBe(128)
  })

  test('measure, age and window give the columns that were worked by hand', async () => {
    expect(await counted({ measure: 'valid' }, 'PENTA 3')).toEqual([8, 9, 6, 23])
    expect(await counted({ measure: 'timely' }, 'MR 1')).toEqual([7, 6, 6, 19])
    expect(await counted({ byAge: '12m' }, 'MR 1')).toEqual([7, 7, 6, 20])
    expect(await counted({ window: { kind: 'cohort', birthYear: 2025 } }, 'BCG 1')).toEqual([10, 8, 8, 26])
    const july = {
      kind: 'period',
      fromOn: mustParseDay('2025-07-01'),
      toOn: mustParseDay('2025-07-31'),
    } as const
    expect(await counted({ window: july }, 'PENTA 2')).toEqual([2, 1, 1, 4])
    const midJuly = { ...july, fromOn: mustParseDay('2025-07-10'), toOn: mustParseDay('2025-07-20') }
    expect(await counted({ window: midJuly }, 'PENTA 2')).toEqual([1, 0, 0, 1])
  })

  test('fully immunised children stand beside the doses', async () => {
    const full = async (more: Partial<CoverageQuestion>) =>
      (await report(more)).fullyImmunised.map((row) => row.numerator)
    expect(await full({})).toEqual([8, 7, 6, 21])
    expect(await full({ measure: 'valid', byAge: '12m' })).toEqual([6, 5, 6, 17])
  })

  // COV-06, WHO indicators I35–I37: both readings, named.
  test('dropout is given as children followed and as doses subtracted', async () => {
    const question = { districtId, window: { kind: 'register' }, asOf: mustParseDay('2026-11-25') } as const
    const rows = await reportDropout(db, deps.shelf, question)
    const told = rows.map(
      ({ village, pair, reading, first, later }) => `${village}: ${pair} ${reading} ${first} ${later}`,
    )
    expect([...new Set(rows.map((row) => row.pair))]).toEqual(['dtp-1-3', 'bcg-mcv-1', 'mcv-1-2'])
    expect(told).toContain('ALL: dtp-1-3 period 27 25')
    expect(told).toContain('ALL: dtp-1-3 cohort 27 25')
    expect(told).toContain('ALL: bcg-mcv-1 period 28 22')
    // Tano had MR and no BCG; Vuyo, born in February 2026, is past nine months.
    expect(told).toContain('ALL: bcg-mcv-1 cohort 28 21')
    expect(told).toContain('High Elms, Upper: bcg-mcv-1 cohort 9 7')
  })

  test('a child whose later dose is not past due has not dropped out', async () => {
    const question = { districtId, window: { kind: 'register' }, asOf: mustParseDay('2026-11-10') } as const
    const rows = await reportDropout(db, deps.shelf, question)
    const row = rows.find(
      ({ village, pair, reading }) => village === 'ALL' && pair === 'bcg-mcv-1' && reading === 'cohort',
    )
    expect(row).toMatchObject({ first: 27, later: 21 })
  })

  // COV-15.
  test('a published table withholds counts of few children and what would give them away', async () => {
    const july = {
      kind: 'period',
      fromOn: mustParseDay('2025-07-01'),
      toOn: mustParseDay('2025-07-31'),
    } as const
    const lines = publishedCsv(await report({ window: july }), deps.shelf.indicators).split('\n')
    expect(lines).toContain('Amber Ford,PENTA,2,,1.3,,withheld')
    expect(lines).toContain('ALL,PENTA,2,,2.5,,withheld')
    expect(lines).toContain('Amber Ford,MR,2,0,1.3,0.0,small-number')
  })

  test('the enrolled denominator counts the children on the register', async () => {
    const { rows: enrolled } = await report({
      denominator: 'enrolled',
      window: { kind: 'cohort', birthYear: 2025 },
    })
    const ofBcg = enrolled.filter((row) => row.series === 'BCG')
    expect(ofBcg.map((row) => row.denominator)).toEqual([11, 9, 8, 28])
  })

  test('doses given away from the child’s own post are told apart', async () => {
    const hill = await db.healthPost.create({ data: { id: deps.newId(), districtId, name: 'Hill post' } })
    const giveMrAt = async (name: string, more: string): Promise<unknown> =>
      pool.query(`update dose set ${more} post_id = $1 where vaccine = 'MR' and child_id = $2`, [
        hill.id,
        (await childNamed(db, name)).id,
      ])
    await giveMrAt('Ayo Bell', '')
    await giveMrAt('Binta Crane', 'is_elsewhere = true,')

    const { villages, posts } = await reportFlows(db, districtId, null)
    expect(villages[0]).toEqual({ village: 'Amber Ford', own: 0, out: 1, elsewhere: 1, unknown: 47 })
    expect(posts).toEqual([{ post: 'Hill post', dropIn: 1 }])
  })

  test('it is on record who took it over, when, and how many rows went in (requirement EXC-05)', async () => {
    const { result } = await take(csv(REGISTER))

    const exchange = await db.change.findFirst({
      where: { act: 'import-register' },
      orderBy: { happenedAt: 'desc' },
    })
    expect(exchange).toMatchObject({
      actor: 'test',
      happenedAt: deps.clock.now(),
      subjectKind: 'district',
      subjectId: districtId,
    })
    const counts = await db.change.findMany({ where: { act: 'import-register' }, select: { after: true } })
    expect(counts).toContainEqual({ after: result })
  })

  test('the same register again changes nothing', async () => {
    const before = await contents()
    const { result } = await take(csv(REGISTER))
    expect(result).toEqual({ rows: 30, enrolled: 0, known: 30, refused: 0, doses: 0 })
    expect(await contents()).toEqual(before)
  })

  test('a dose that was withdrawn does not come back with the register', async () => {
    const { id: childId } = await childNamed(db, 'Ayo Bell')
    await db.dose.updateMany({
      where: { vaccine: 'BCG', childId },
      data: { voidedAt: new Date(), voidedBy: 'test', voidReason: 'slip' },
    })
    const { result } = await take(csv(REGISTER))
    expect(result.doses).toBe(0)
  })

  test('the sums it wrote equal a full recount', async () => {
    expect(await transaction(recountSums)).toBe(0)
  })
})

describe('rows that cannot be taken over', () => {
  test('each has its line, column, value and a code, and the good rows go in', async () => {
    const before = await db.child.count()
    const { problems, result } = await take(
      csv(
        stringify([
          [...TITLES, 'XYZ1'],
          [
            '',
            'Good One',
            'female',
            '2026-01-05',
            'amber ford',
            '07700 900200',
            'en',
            '2026-01-06',
            '',
            '',
            '',
          ],
          ['', 'Bad Date', 'male', '2026-02-30', 'Amber Ford', '', '', '', '', '', ''],
          ['', 'Bad Village', 'male', '2026-01-05', 'Nowhere', '', '', '', '', '', ''],
          ['', 'Bad Phone', 'male', '2026-01-05', 'Amber Ford', '12', '', '', '', '', ''],
          ['', '', 'x', '2027-01-05', 'Amber Ford', '', 'qq', '', '', '', ''],
          [
            '',
            'Bad Doses',
            'male',
            '2026-01-05',
            'Amber Ford',
            '',
            '',
            '2026-01-04',
            '2027-01-01',
            '31/03/2026',
            '',
          ],
          ['', 'Twice A Day', 'male', '2026-01-05', 'Amber Ford', '', '', '', '2026-03-05', '2026-03-05', ''],
          ['4821', 'Short Card', 'male', '2026-01-05', 'Amber Ford', '', '', '', '', '', ''],
          ['48217738', 'Wrong Card', 'male', '2026-01-05', 'Amber Ford', '', '', '', '', '', ''],
          ['', 'Unquoted', 'male', '2026-01-05', 'Amber Ford', '', '', '', '', '', '', 'more'],
        ]),
      ),
    )
    expect(problems).toEqual([
      '1 XYZ1 "XYZ1" column-unknown',
      '3 birth_date "2026-02-30" date-impossible',
      '4 village "Nowhere" village-unknown',
      '5 phone "12" phone-impossible',
      '6 name "" cell-empty',
      '6 birth_date "2027-01-05" birth-in-future',
      '6 sex "x" sex-unknown',
      '6 language "qq" language-unknown',
      '7 BCG "2026-01-04" dose-before-birth',
      '7 PENTA1 "2027-01-01" dose-in-future',
      '7 PENTA2 "31/03/2026" date-impossible',
      '8 PENTA2 "2026-03-05" dose-repeated',
      '9 card_number "4821" card-length',
      '10 card_number "48217738" card-check-digit',
      '11  "more" row-too-long',
    ])
    expect(result).toEqual({ rows: 10, enrolled: 1, known: 0, refused: 9, doses: 1 })
    expect(await db.child.count()).toBe(before + 1)
  })

  test('a card of another child is refused, of the same child it adds the new doses', async () => {
    const row = (name: string, penta1: string) => [
      '48217739',
      name,
      '',
      '2026-01-05',
      'Amber Ford',
      '',
      '',
      '',
      penta1,
      '',
    ]
    expect((await take(rows(row('Card Owner', '')))).result.enrolled).toBe(1)
    expect(await take(rows(row('Someone Else', '2026-02-20')))).toMatchObject({
      problems: ['2 card_number "48217739" card-taken'],
      result: { refused: 1, doses: 0 },
    })
    expect((await take(rows(row('card  OWNER', '2026-02-20')))).result).toMatchObject({ known: 1, doses: 1 })
    const child = await db.child.findUniqueOrThrow({ where: { cardNumber: '48217739' } })
    expect(child.planAgainOn?.toISOString()).toBe('2026-11-25T00:00:00.000Z')
    expect(await transaction(recountSums)).toBe(0)
  })

  test('the card of a child of another district gives that child nothing', async () => {
    const file = districtFile.parse(JSON.parse(fixture('district.json')))
    const other = { ...file, district: { ...file.district, name: 'Over the river' } }
    const loaded = await transaction((tx) => loadDistrict(tx, deps, other))
    const row = ['48217739', 'Card Owner', '', '2026-01-05', 'Amber Ford', '', '', '', '', '2026-04-20']

    expect(await take(rows(row), false, loaded.district.id)).toMatchObject({
      problems: ['2 card_number "48217739" card-taken'],
      result: { refused: 1, doses: 0 },
    })
    expect(await db.child.count({ where: { districtId: loaded.district.id } })).toBe(0)
    expect(await db.dose.count({ where: { districtId: loaded.district.id } })).toBe(0)
  })

  test('two rows of one child in a file are one child with the doses of both', async () => {
    const row = (bcg: string, penta1: string) => [
      '',
      'Told Twice',
      'female',
      '2026-03-02',
      'Amber Ford',
      '',
      '',
      bcg,
      penta1,
      '',
    ]
    const { result } = await take(rows(row('2026-03-03', ''), row('2026-03-03', '2026-04-13')))
    expect(result).toMatchObject({ enrolled: 1, known: 1, doses: 2 })
    expect(await transaction(recountSums)).toBe(0)
  })

  test('twins on one phone are two children on one line', async () => {
    const row = (name: string) => ['', name, '', '2026-05-04', 'Amber Ford', '07700900300', '', '', '', '']
    expect((await take(rows(row('Twin One'), row('Twin Two')))).result.enrolled).toBe(2)
    expect(await db.caregiver.count({ where: { line: { number: '+447700900300' } } })).toBe(2)
    expect(await db.phoneLine.count({ where: { number: '+447700900300' } })).toBe(1)
  })

  test('without a column it needs, or as no CSV at all, the file is refused', async () => {
    await expect(take(csv('name,village\nAyo,Amber Ford\n'))).rejects.toMatchObject({
      code: 'register-columns-missing',
    })
    await expect(take(csv('name,birth_date,village\n"Ayo,2026-01-05\n'))).rejects.toMatchObject({
      code: 'register-unreadable',
    })
    await expect(take(xlsxLines(Buffer.from('no workbook')))).rejects.toMatchObject({
      code: 'register-unreadable',
    })
  })
})

// COV-03: the authority's target, with source and year beside the figure, and never a silent switch.
test('targets that were entered stand before rates, and a village without any has none', async () => {
  const file = districtFile.parse(JSON.parse(fixture('district.json')))
  const [first, second] = file.villages
  if (first === undefined || second === undefined) throw new Error('the fixture has villages')
  const target = { liveBirths: 20, survivingInfants: null, bySeries: {}, source: 'health office', year: 2025 }
  const villages = [
    { ...first, name: 'Entered', target },
    { ...second, name: 'Unstated', birthsPer1000: null },
  ]
  const renamed = { ...file, district: { ...file.district, name: 'Elsewhere' }, villages }
  const loaded = await transaction((tx) => loadDistrict(tx, deps, renamed))
  const { rows, villages: targeted } = await report({ districtId: loaded.district.id })
  expect(targeted[0]).toMatchObject({ name: 'Entered', source: 'health office', year: 2025 })
  const told = rows.map(
    (row) => `${row.village} ${row.series} ${row.dose}: ${row.denominator ?? row.flags.join()}`,
  )
  expect(told).toContain('Entered BCG 1: 20')
  expect(told).toContain('Entered PENTA 1: no-denominator')
  expect(told).toContain('Unstated BCG 1: no-denominator')
  expect(told).toContain('ALL BCG 1: no-denominator')
})

describe('workbooks', () => {
  test('a register in XLSX is read as one in CSV, days as days', async () => {
    const day = (text: string) => ({ value: new Date(text), type: Date, format: 'yyyy-mm-dd' })
    const buffer = await writeXlsxFile([
      ['name', 'birth_date', 'village', 'phone', 'BCG'].map((value) => ({ value, type: String })),
      [
        { value: 'Sheet Child' },
        day('2026-06-01'),
        { value: 'Amber Ford' },
        { value: '07700900301' },
        day('2026-06-02'),
      ],
    ]).toBuffer()
    expect((await take(xlsxLines(buffer))).result).toMatchObject({ enrolled: 1, doses: 1 })
    const child = await childNamed(db, 'Sheet Child')
    expect(child.birthOn.toISOString()).toBe('2026-06-01T00:00:00.000Z')
  })

  test('coverage in XLSX holds numbers as numbers under the same columns', async () => {
    const sheet = await readSheet(await coverageXlsx(await report({ measure: 'valid' })))
    expect(sheet[0]).toEqual([
      'village',
      'series',
      'dose',
      'numerator',
      'denominator',
      'coverage_percent',
      'flags',
    ])
    expect(sheet).toContainEqual([
      'Tall "Reeds"',
      'PENTA',
      3,
      6,
      5.7,
      (100 * 6) / 5.7,
      'over-100 small-number',
    ])
  })
})
