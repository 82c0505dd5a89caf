import { execFileSync, spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'

const COMMAND = ['--import', 'tsx', 'src/main/duebell.ts']

interface Vectors {
  readonly cases: readonly { readonly in: object; readonly expect: object }[]
}

describe('duebell measure', () => {
  test('answers each line of the vectors, in order, and goes on after a bad one', () => {
    // A JSON file of known shape, kept with the tests.
    const { cases } = JSON.parse(readFileSync('tests/vectors/measure.json', 'utf8')) as Vectors
    const lines = [
      ...cases.map((each) => JSON.stringify(each.in)),
      'no JSON',
      '{"id":"x"}',
      '{"id":"y","text":"y"}',
    ]

    const output = execFileSync(process.execPath, [...COMMAND, 'measure'], {
      input: lines.join('\n'),
      encoding: 'utf8',
    })
    const answers = output
      .trimEnd()
      .split('\n')
      .map((line): unknown => JSON.parse(line))

    expect(answers.slice(0, cases.length)).toEqual(
      cases.map((each) => ({ id: (each.in as { id: string }).id, ...each.expect })),
    )
    expect(answers.slice(cases.length)).toEqual([
      { id: null, error: { code: 'line-malformed', message: expect.any(String) as string } },
      { id: 'x', error: { code: 'input-invalid', message: expect.any(String) as string } },
      { id: 'y', alphabet: 'gsm7', units: 1, parts: 1 },
    ])
  })
})

describe('duebell phrases', () => {
  test('prints every text with its parts and cost, and finds nothing to mend', () => {
    const { stdout, stderr, status } = spawnSync(
      process.execPath,
      [...COMMAND, 'phrases', '--language', 'hi', '--price', '0.5', '--format', 'json'],
      { encoding: 'utf8' },
    )
    const rows = stdout
      .trimEnd()
      .split('\n')
      .map((line): unknown => JSON.parse(line))

    expect({ stderr, status }).toEqual({ stderr: '', status: 0 })
    expect(rows.length).toBeGreaterThan(150)
    expect(rows[0]).toMatchObject({
      language: 'hi',
      key: 'reminder-ahead',
      kind: 'reminder',
      alphabet: 'ucs2',
      parts: 2,
      partsAllowed: 2,
      cost: 1,
    })
  })
})
