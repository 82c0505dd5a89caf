/** Compares the requirements ledger, docs/requirements.md, with the files and tests it names. */
import { existsSync, readFileSync } from 'node:fs'
import { cellsOf, quoted, report, testTitles } from './test-titles.ts'

const LEDGER = 'docs/requirements.md'
const STATUSES = ['met', 'partly', 'planned', 'out']

/** How many requirements each group has, numbered from 01. */
const GROUPS = {
  REG: 24,
  SCH: 14,
  REM: 20,
  DOS: 17,
  VIA: 13,
  AEF: 7,
  COV: 16,
  DUP: 11,
  EXC: 8,
  SEC: 17,
  AVL: 14,
  OPS: 10,
}
/** The indicators of the WHO kit, I01 to I45. */
const INDICATORS = 45

interface Row {
  id: string
  status: string
  /** Why a requirement is not met; empty where the row does not say. */
  reason: string
  /** Paths of files or folders. */
  where: string[]
  /** Titles of tests. */
  tests: string[]
}

function readRows(): Row[] {
  return readFileSync(LEDGER, 'utf8')
    .split('\n')
    .filter((line) => /^\| [A-Z]{3}-\d\d /.test(line))
    .map((line) => {
      const [id = '', , status = '', where = '', tests = ''] = cellsOf(line)
      const reason = /:(.*)$/.exec(where)?.[1]?.trim() ?? ''
      return { id, status, reason, where: quoted(where), tests: quoted(tests) }
    })
}

function problemsOfRow(row: Row, titles: Set<string>): string[] {
  const lacking = {
    [`${row.status} is no status`]: !STATUSES.includes(row.status),
    'is met but names no place': row.status === 'met' && row.where.length === 0,
    'is met but names no test': row.status === 'met' && row.tests.length === 0,
    'is not met and does not say why': row.status !== 'met' && row.reason === '',
  }
  return [
    ...Object.keys(lacking).filter((problem) => lacking[problem]),
    ...row.where.filter((path) => !existsSync(path)).map((path) => `${path} does not exist`),
    ...row.tests.filter((title) => !titles.has(title)).map((title) => `no test is called "${title}"`),
  ].map((problem) => `${row.id}: ${problem}`)
}

function numbered(prefix: string, count: number): string[] {
  return Array.from({ length: count }, (_, index) => `${prefix}${String(index + 1).padStart(2, '0')}`)
}

/** Indicators stand in a table of their own. */
function indicatorRows(): string[] {
  return Array.from(readFileSync(LEDGER, 'utf8').matchAll(/^\| (I\d\d) /gm), ([, id = '']) => id)
}

function problemsOfIds(found: string[], wanted: string[]): string[] {
  return [
    ...wanted.filter((id) => !found.includes(id)).map((id) => `${id}: has no row`),
    ...found.filter((id) => !wanted.includes(id)).map((id) => `${id}: is no requirement`),
    ...found.filter((id, index) => found.indexOf(id) !== index).map((id) => `${id}: has a second row`),
  ]
}

const rows = readRows()
const titles = testTitles()
const problems = [
  ...problemsOfIds(
    rows.map(({ id }) => id),
    Object.entries(GROUPS).flatMap(([group, count]) => numbered(`${group}-`, count)),
  ),
  ...problemsOfIds(indicatorRows(), numbered('I', INDICATORS)),
  ...rows.flatMap((row) => problemsOfRow(row, titles)),
]

const counts = STATUSES.map((status) => `${rows.filter((row) => row.status === status).length} ${status}`)
report(problems, `${LEDGER}: ${rows.length} requirements, ${counts.join(', ')}`)
