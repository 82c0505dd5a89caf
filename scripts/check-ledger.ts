/** Compares the requirements ledger, docs/requirements.md, with the files and tests it names. */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

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

interface Row {
  id: string
  status: string
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
      const [id = '', , status = '', where = '', tests = ''] = line
        .split('|')
        .slice(1)
        .map((cell) => cell.trim())
      return { id, status, where: quoted(where), tests: quoted(tests) }
    })
}

function quoted(cell: string): string[] {
  return Array.from(cell.matchAll(/`([^`]+)`/g), ([, text = '']) => text)
}

/** The titles of all tests that stand alone; those of tables are left out. */
function testTitles(): Set<string> {
  const sources = readdirSync('tests', { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts'))
    .map((file) => readFileSync(join('tests', file), 'utf8'))
  const titles = sources.flatMap((source) =>
    Array.from(source.matchAll(/\b(?:test|it)\(\s*(['"`])(.+?)\1,/g)),
  )
  return new Set(titles.map(([, , title = '']) => title))
}

function problemsOfRow(row: Row, titles: Set<string>): string[] {
  const lacking = {
    [`${row.status} is no status`]: !STATUSES.includes(row.status),
    'is met but names no place': row.status === 'met' && row.where.length === 0,
    'is met but names no test': row.status === 'met' && row.tests.length === 0,
  }
  return [
    ...Object.keys(lacking).filter((problem) => lacking[problem]),
    ...row.where.filter((path) => !existsSync(path)).map((path) => `${path} does not exist`),
    ...row.tests.filter((title) => !titles.has(title)).map((title) => `no test is called "${title}"`),
  ].map((problem) => `${row.id}: ${problem}`)
}

function problemsOfIds(found: string[]): string[] {
  const wanted = Object.entries(GROUPS).flatMap(([group, count]) =>
    Array.from({ length: count }, (_, index) => `${group}-${String(index + 1).padStart(2, '0')}`),
  )
  return [
    ...wanted.filter((id) => !found.includes(id)).map((id) => `${id}: has no row`),
    ...found.filter((id) => !wanted.includes(id)).map((id) => `${id}: is no requirement`),
    ...found.filter((id, index) => found.indexOf(id) !== index).map((id) => `${id}: has a second row`),
  ]
}

const rows = readRows()
const titles = testTitles()
const problems = [
  ...problemsOfIds(rows.map(({ id }) => id)),
  ...rows.flatMap((row) => problemsOfRow(row, titles)),
]

if (problems.length > 0) {
  console.error(problems.join('\n'))
  process.exitCode = 1
} else {
  const counts = STATUSES.map((status) => `${rows.filter((row) => row.status === status).length} ${status}`)
  console.log(`${LEDGER}: ${rows.length} requirements, ${counts.join(', ')}`)
}
