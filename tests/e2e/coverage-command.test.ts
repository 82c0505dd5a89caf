/** A district file, a register and the coverage that follows, by the command line alone. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { runDuebell } from '../support/run-duebell.ts'
import { emptyDatabases } from '../support/test-database.ts'

const makeDatabase = emptyDatabases()
const FIXTURES = 'tests/fixtures/coverage'
const REGISTER = `${FIXTURES}/register.csv`

const folder = mkdtempSync(join(tmpdir(), 'duebell-'))
afterAll(() => {
  rmSync(folder, { recursive: true })
})

let DATABASE_URL = ''
const duebell = (...parameters: string[]) => runDuebell(parameters, { DATABASE_URL })

/** The fixture's district under a schedule that comes with the service. */
function districtOnShippedSchedule(): string {
  const text = readFileSync(`${FIXTURES}/district.json`, 'utf8')
  const path = join(folder, 'district.json')
  const inAnArea = text.replace('"name": "Amber Ford",', '"name": "Amber Ford", "area": "Upland",')
  const { villages, ...file } = JSON.parse(inAnArea.replace('five-infant-doses', 'who-2025-preferred')) as {
    villages: unknown
  }
  writeFileSync(path, JSON.stringify({ ...file, villages, areas: [{ name: 'Upland' }] }))
  return path
}

beforeAll(async () => {
  DATABASE_URL = await makeDatabase()
}, 60_000)

test('from a district file and a register to the coverage table', async () => {
  expect((await duebell('load-district', districtOnShippedSchedule())).exitCode).toBe(0)

  const trial = await duebell('import-register', REGISTER, '--dry-run')
  expect(trial).toMatchObject({ exitCode: 0, output: '' })
  expect(trial.complaint).toMatch('nothing was kept: 30 rows: 30 children enrolled')

  const first = await duebell('import-register', REGISTER)
  const second = await duebell('import-register', REGISTER)
  expect(first.complaint).toMatch(
    '30 rows: 30 children enrolled, 0 known before, 0 rows refused; 128 doses recorded',
  )
  expect(second.complaint).toMatch(
    '30 rows: 0 children enrolled, 30 known before, 0 rows refused; 0 doses recorded',
  )

  const { output } = await duebell('coverage', '--format', 'csv')
  const expected = readFileSync(`${FIXTURES}/expected-crude.csv`, 'utf8').split('\n')
  const lines = output.split('\n')
  expect(lines[0]).toBe(expected[0])
  expect(lines).toEqual(expect.arrayContaining(expected.filter((line) => /,(BCG|PENTA),/.test(line))))

  const cohort = await duebell(
    'coverage',
    '--cohort',
    '2025',
    '--measure',
    'valid',
    '--denominator',
    'enrolled',
  )
  expect(cohort.output).toMatch('Two Rivers: children born in 2025, valid doses, enrolled denominators')
  expect(cohort.output).toMatch(/High Elms, Upper +BCG +1 +8 +9\.0 +8\/9 \(56\.5–98\.0 %\) +small-number/)

  const areas = await duebell('coverage', '--by', 'area', '--level', '1', '--format', 'csv')
  expect(areas.output).toMatch(
    'area,level,series,dose,numerator,denominator,coverage_percent,flags\nUpland,1,BCG,1,11,16.0,68.8,\n',
  )
  expect((await duebell('coverage', '--by', 'area')).output).toMatch(
    /area +series[^]*Upland +BCG +1 +11[^]*NONE +BCG +1 +17/,
  )
  expect((await duebell('coverage', '--by', 'area', '--published')).complaint).toMatch('leave --by area out')

  const dropout = await duebell('dropout')
  expect(dropout.output).toMatch('ALL,dtp-1-3,period,27,25,7.4,\n')

  const flows = await duebell('flows')
  expect(flows.output).toMatch('village,own_post,other_post,elsewhere,not_said\nAmber Ford,0,0,0,')

  const recount = await duebell('coverage', '--recount', '--format', 'json')
  expect(recount.complaint).toMatch('0 sums were put right')
  expect(JSON.parse(recount.output)).toMatchObject({ district: 'Two Rivers', window: { kind: 'register' } })
}, 180_000)

test('problems come as CSV, each with line, column, value, code and what to do', async () => {
  const path = join(folder, 'bad.csv')
  writeFileSync(path, 'name,birth_date,village,PENTA1,XYZ\nAyo Bell,2026-02-30,Amber Ford,,\n')
  const { exitCode, output } = await duebell('import-register', path)
  expect(exitCode).toBe(0)
  expect(output.split('\n').slice(0, 3)).toEqual([
    'line,column,value,code,what_to_do',
    expect.stringMatching(/^1,XYZ,XYZ,column-unknown,"/),
    '2,birth_date,2026-02-30,date-impossible,There is no such day; write it as 2026-03-31.',
  ])
}, 60_000)

test('a question that contradicts itself is answered with what to ask instead', async () => {
  expect(await duebell('coverage', '--from', '2026-01-01')).toMatchObject({
    exitCode: 1,
    complaint: expect.stringMatching('give --from and --to') as string,
  })
  expect((await duebell('coverage', '--cohort', '25')).complaint).toMatch('Write a year as 2025.')
  expect((await duebell('coverage', '--district', 'Nowhere')).complaint).toMatch(
    'Name one of the districts: Two Rivers.',
  )
}, 60_000)

test('lists who is expected and who has to be found, in one village too', async () => {
  const due = await duebell('due')
  const inOne = await duebell('due', '--village', 'amber ford')
  const defaulters = await duebell('defaulters')
  const nowhere = await duebell('due', '--village', 'Nowhere')

  const rows = (output: string) =>
    output
      .replace(/^\uFEFF/, '')
      .trim()
      .split(/\r?\n/)
  const head = 'village,card_number,name,birth_date,day,vaccines,phones,last_word'
  expect(rows(due.output)[0]).toBe(head)
  expect(rows(defaulters.output)[0]).toBe(head)
  expect(rows(inOne.output).slice(1)).toEqual(rows(due.output).filter((row) => row.startsWith('Amber Ford,')))
  expect(nowhere).toMatchObject({ exitCode: 1, output: '' })
  expect(nowhere.complaint).toContain('has no village Nowhere')
}, 60_000)
