/** Compares the requirements ledger, docs/requirements.md, with the files and tests it names. */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import ts from 'typescript'

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
      const [id = '', , status = '', where = '', tests = ''] = line
        .split('|')
        .slice(1)
        .map((cell) => cell.trim())
      const reason = /:(.*)$/.exec(where)?.[1]?.trim() ?? ''
      return { id, status, reason, where: quoted(where), tests: quoted(tests) }
    })
}

function quoted(cell: string): string[] {
  return Array.from(cell.matchAll(/`([^`]+)`/g), ([, text = '']) => text)
}

/** The titles of all tests, as they are written; those of tables keep their placeholders. */
function testTitles(): Set<string> {
  const files = readdirSync('tests', { recursive: true, encoding: 'utf8' })
  return new Set(
    files.filter((file) => file.endsWith('.test.ts')).flatMap((file) => titlesIn(join('tests', file))),
  )
}

function titlesIn(file: string): string[] {
  const source = ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.Latest)
  const titles: string[] = []
  const look = (node: ts.Node): void => {
    const title = ts.isCallExpression(node) && isTest(node.expression, source) ? node.arguments[0] : undefined
    if (title !== undefined && ts.isStringLiteralLike(title)) titles.push(title.text)
    ts.forEachChild(node, look)
  }
  look(source)
  return titles
}

/** `test`, and what `test.each` gives for a table. */
function isTest(callee: ts.Expression, source: ts.SourceFile): boolean {
  if (ts.isIdentifier(callee)) return callee.text === 'test'
  return /^test\.each\b/.test(callee.getText(source)) && !ts.isPropertyAccessExpression(callee)
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

if (problems.length > 0) {
  console.error(problems.join('\n'))
  process.exitCode = 1
} else {
  const counts = STATUSES.map((status) => `${rows.filter((row) => row.status === status).length} ${status}`)
  console.log(`${LEDGER}: ${rows.length} requirements, ${counts.join(', ')}`)
}
