/** Compares the tables of docs/security.md with the tests and files they name: what is claimed is shown. */
import { existsSync, readFileSync } from 'node:fs'
import { cellsOf, quoted, report, testTitles } from './test-titles.ts'

const PAGE = 'docs/security.md'
/** The last column of each table that is held to. */
const SHOWN = 'shown by'

interface Claim {
  readonly item: string
  readonly what: string
  readonly shownBy: readonly string[]
}

function readClaims(): Claim[] {
  const claims: Claim[] = []
  let isHeld = false
  for (const line of readFileSync(PAGE, 'utf8').split('\n')) {
    const cells = cellsOf(line)
    if (!line.startsWith('|')) isHeld = false
    else if (cells.at(-1) === SHOWN) isHeld = true
    else if (isHeld && !line.startsWith('| ---')) {
      const [item = '', what = '', shown = ''] = cells
      claims.push({ item, what, shownBy: quoted(shown) })
    }
  }
  return claims
}

function problemsOf({ item, what, shownBy }: Claim, titles: ReadonlySet<string>): string[] {
  const isOpen = /\b(Not met|Partly)\b/.test(what)
  return [
    ...(shownBy.length === 0 && !isOpen ? ['names nothing that shows it'] : []),
    ...shownBy
      .filter((name) => !titles.has(name) && !existsSync(name))
      .map((name) => `neither a test nor a file is called "${name}"`),
  ].map((problem) => `${PAGE}, ${item}: ${problem}`)
}

const claims = readClaims()
const titles = testTitles()
const open = claims.filter(({ what }) => /\bNot met\b/.test(what)).length
report(
  claims.length === 0
    ? [`${PAGE}: holds no table with "${SHOWN}"`]
    : claims.flatMap((claim) => problemsOf(claim, titles)),
  `${PAGE}: ${claims.length} items, ${open} of them not met`,
)
