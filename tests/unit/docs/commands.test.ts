/** What the pages tell people to type is there to be typed. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { ROUTES } from '../../../src/http/routes/all.ts'
import { CHECKS } from '../../../src/main/doctor/finding.ts'

const pages = ['README.md', 'DEVELOPERS.md', ...readdirSync('docs').map((name) => join('docs', name))].filter(
  (path) => path.endsWith('.md'),
)
const textOf = (path: string): string => readFileSync(path, 'utf8')
const found = (text: string, pattern: RegExp): string[] =>
  Array.from(text.matchAll(pattern), ([, name = '']) => name)

const sources = readdirSync('src/main/commands').map((name) => textOf(join('src/main/commands', name)))
const commands = new Set(
  sources.flatMap((text) => [
    ...found(text, /\.command\(\s*'([\w-]+)/g),
    // The lists share one function, which takes their names.
    ...found(text, /addList\(\s*program,\s*'([\w-]+)'/g),
  ]),
)
const { scripts } = JSON.parse(textOf('package.json')) as {
  readonly scripts: Readonly<Record<string, string>>
}

test.each(pages)('%s names commands, scripts, checks and pages that there are', (path) => {
  const text = textOf(path)
  const spoken = found(text, /(?:`|^|\s|\()duebell ([a-z][\w-]*)(?=[\s`)])/gm).filter((word) =>
    text.includes(`\`duebell ${word}`),
  )
  const asked = found(text, /npm run (?:-s )?([\w:-]+)/g).filter((name) => name !== 'duebell')
  const looked = found(text, /doctor --only ([a-z- ]+)/g).flatMap((names) => names.trim().split(' '))
  const linked = found(text, /\]\(([\w./-]+\.md)\)/g)

  expect(spoken.filter((name) => !commands.has(name))).toEqual([])
  expect(asked.filter((name) => !(name in scripts))).toEqual([])
  expect(looked.filter((name) => !CHECKS.some((check) => check === name))).toEqual([])
  expect(
    linked.filter((name) => !pages.includes(join(path.startsWith('docs') ? 'docs' : '.', name))),
  ).toEqual([])
})

test('the runbook names routes that there are', () => {
  const paths = new Set(ROUTES.map(({ method, path }) => `${method.toUpperCase()} ${path}`))

  const named = found(textOf('docs/runbook.md'), /`((?:POST|PUT|GET) \/v1[^`\s]*)/g)
  expect(named.length).toBeGreaterThan(2)
  expect(named.filter((route) => !paths.has(route))).toEqual([])
})
