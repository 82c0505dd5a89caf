import { execFile } from 'node:child_process'
import { readFileSync } from 'node:fs'

interface Case {
  readonly in: { readonly id: string }
  readonly expect: { readonly error?: string }
}

const { cases } = JSON.parse(readFileSync(new URL('../vectors/read.json', import.meta.url), 'utf8')) as {
  readonly cases: readonly Case[]
}

/** Runs `duebell read` on lines of input; one parsed line of output each. */
function runRead(
  lines: readonly string[],
): Promise<{ readonly exitCode: number; readonly answers: unknown[] }> {
  return new Promise((resolve) => {
    const parameters = ['--import', 'tsx', 'src/main/duebell.ts', 'read']
    const child = execFile(process.execPath, parameters, (error, output) => {
      const answers = output
        .trim()
        .split('\n')
        .map((line): unknown => JSON.parse(line))
      resolve({ exitCode: typeof error?.code === 'number' ? error.code : 0, answers })
    })
    child.stdin?.end(lines.map((line) => `${line}\n`).join(''))
  })
}

describe('duebell read', () => {
  test('answers every case of tests/vectors/read.json, in order', async () => {
    const { exitCode, answers } = await runRead(cases.map((each) => JSON.stringify(each.in)))

    expect(exitCode).toBe(0)
    expect(answers).toMatchObject(
      cases.map(({ in: { id }, expect: { error, ...act } }) =>
        error === undefined ? { id, ...act } : { id, error: { code: error } },
      ),
    )
  })

  test('says what to send instead, in the language of the sender', async () => {
    const line = { from: 'vaccinator', on: '2026-11-24', text: 'gave 4821 7738 opv' }
    const { answers } = await runRead([
      JSON.stringify({ id: 1, ...line }),
      JSON.stringify({ id: 2, ...line, language: 'fr' }),
    ])

    expect(answers).toEqual([
      {
        id: 1,
        error: {
          code: 'card-check-digit',
          message: expect.stringContaining('GAVE 4821 7739 BOPV') as string,
        },
      },
      {
        id: 2,
        error: {
          code: 'card-check-digit',
          message: expect.stringContaining('DONNÉ 4821 7739 BOPV') as string,
        },
      },
    ])
  })

  test('goes on after a line that is no JSON or lacks a field', async () => {
    const { exitCode, answers } = await runRead([
      'gave',
      '{"id":"a","from":"nurse","on":"2026-02-30"}',
      '{"id":"b","from":"parent","on":"2026-11-24","text":"when"}',
    ])

    expect(exitCode).toBe(0)
    expect(answers).toEqual([
      { id: null, error: { code: 'line-malformed', message: expect.any(String) as string } },
      {
        id: 'a',
        error: { code: 'input-invalid', message: expect.stringMatching(/from.*on.*text/) as string },
      },
      { id: 'b', act: 'next-date' },
    ])
  })

  test('understands every text of the manual', async () => {
    const manual = readFileSync('docs/manual.md', 'utf8')
    const taught = ['vaccinator', 'parent'].flatMap((from) => {
      const [, section = ''] = manual.split(new RegExp(`^## ${from}$`, 'im'))
      const [page = ''] = section.split(/^## /m)
      return Array.from(page.matchAll(/^\|[^|]+\| `([^`]+)` +\|/gm), ([, text = '']) => ({ from, text }))
    })
    expect(taught.length).toBeGreaterThan(15)

    const { answers } = await runRead(
      taught.map(({ from, text }) =>
        JSON.stringify({ id: text, from, on: '2026-11-24', text, language: 'en', region: 'GB' }),
      ),
    )

    expect(answers.filter((answer) => 'error' in (answer as object))).toEqual([])
    expect(answers).toHaveLength(taught.length)
  })
})
