import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import ts from 'typescript'

/** The titles of all tests, as they are written; those of tables keep their placeholders. */
export function testTitles(): Set<string> {
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

/** The cells of a row of a Markdown table. */
export function cellsOf(line: string): string[] {
  return line
    .split('|')
    .slice(1, -1)
    .map((cell) => cell.trim())
}

/** What stands between backquotes. */
export function quoted(cell: string): string[] {
  return Array.from(cell.matchAll(/`([^`]+)`/g), ([, text = '']) => text)
}

/** Says all problems of a page and fails, or says `summary`. */
export function report(problems: readonly string[], summary: string): void {
  if (problems.length === 0) {
    console.log(summary)
    return
  }
  console.error(problems.join('\n'))
  process.exitCode = 1
}
