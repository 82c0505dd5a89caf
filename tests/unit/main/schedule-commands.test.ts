import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'

const COMMAND = ['--import', 'tsx', 'src/main/duebell.ts']

function answersTo(lines: readonly unknown[], ...options: string[]): Record<string, unknown>[] {
  const input = lines.map((line) => (typeof line === 'string' ? line : JSON.stringify(line))).join('\n')
  return execFileSync(process.execPath, [...COMMAND, 'forecast', ...options], { input, encoding: 'utf8' })
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as Record<string, unknown>)
}

describe('duebell forecast', () => {
  const line = {
    id: 'a',
    birthDate: '2026-01-31',
    asOf: '2026-06-01',
    sex: 'female',
    birthWeightGrams: 1900,
    given: [{ vaccine: 'BOPV', date: '2026-03-15' }],
  }

  test('answers in the agreed form, by the default schedule', () => {
    const [answer] = answersTo([line])
    expect(answer).toMatchObject({
      id: 'a',
      given: [
        {
          vaccine: 'BOPV',
          date: '2026-03-15',
          counts: [{ series: 'OPV', dose: 1, valid: true, reason: null }],
        },
      ],
      next: expect.arrayContaining([
        {
          series: 'OPV',
          dose: 2,
          vaccine: 'BOPV',
          earliest: '2026-04-12',
          due: '2026-04-12',
          overdue: '2026-05-10',
          latest: null,
          status: 'overdue',
        },
      ]) as unknown,
      complete: [],
    })
  })

  test('takes the schedule of the line, or of the option, as an id or a file', () => {
    const file = 'tests/fixtures/schedules/cdc-2013.json'
    const seriesOf = (answer?: Record<string, unknown>): unknown[] =>
      (answer?.['next'] as { series: string }[]).map(({ series }) => series)
    const [own, fallback] = answersTo([{ ...line, schedule: 'months-2-4-6' }, line], '--schedule', file)
    expect(seriesOf(own)).toContain('JE')
    expect(seriesOf(fallback)).toContain('DTAP')
  })

  test('answers a bad line with an error and goes on', () => {
    const answers = answersTo([
      'not JSON',
      { ...line, birthDate: undefined },
      { ...line, birthDate: '2026-02-30' },
      { ...line, birthDate: '2026-06-02' },
      { ...line, given: [{ vaccine: 'BOPV', date: 'yesterday' }] },
      { ...line, schedule: 'no-such' },
      { ...line, schedule: 'package.json' },
      { id: 'good', birthDate: '2026-01-31', asOf: '2026-06-01' },
    ])
    const codes = answers.map(({ id, error }) => [id, (error as { code: string } | undefined)?.code])
    expect(codes).toEqual([
      [null, 'line-malformed'],
      ['a', 'input-invalid'],
      ['a', 'input-invalid'],
      ['a', 'birth-in-future'],
      ['a', 'input-invalid'],
      ['a', 'schedule-not-found'],
      ['a', 'schedule-invalid'],
      ['good', undefined],
    ])
  })

  test('says how a day is written, in words', () => {
    const [answer] = answersTo([
      { ...line, birthDate: '2026-02-30', given: [{ vaccine: 'BOPV', date: '2' }] },
    ])
    expect((answer?.['error'] as { message: string }).message).toBe(
      'birthDate: write a day like 2026-01-31, or a month like 2026-01 where the day is not known; ' +
        'given.0.date: write a day like 2026-01-31',
    )
  })

  test('answers records of nonsense: vaccines named like parts of the language, five thousand doses, no name', () => {
    const many = Array.from({ length: 5000 }, (_, place) => ({
      vaccine: ['BOPV', '__proto__', 'constructor', ''][place % 4],
      date: `2026-0${1 + (place % 9)}-1${place % 10}`,
    }))
    const [answer] = answersTo([{ birthDate: '2026-01-31', asOf: '2026-06-01', given: many }])
    expect(answer).toMatchObject({ id: null, complete: [] })
    expect(answer?.['given']).toHaveLength(5000)
  })

  test('knows only the month of birth: it reckons with its last day and says so', () => {
    const [answer] = answersTo([{ ...line, birthDate: '2026-02', given: [] }])
    expect(answer?.['assumed']).toEqual({ birthDate: '2026-02-28' })
    expect(answer?.['next']).toEqual(
      expect.arrayContaining([expect.objectContaining({ series: 'OPV', earliest: '2026-04-11' })]),
    )
  })

  test('says why with --explain', () => {
    const [answer] = answersTo([line], '--explain')
    const text = JSON.stringify(answer)
    expect(text).toContain(
      'BOPV on 2026-03-15 counts as OPV 1: not before 2026-03-14, 6 weeks after birth on 2026-01-31',
    )
    expect(text).toContain('BOPV 2 not before 2026-04-12: 4 weeks after BOPV 1 on 2026-03-15')
  })
})

describe('duebell check-schedule', () => {
  const check = (file: string): { stdout: string; stderr: string; status: number | null } =>
    spawnSync(process.execPath, [...COMMAND, 'check-schedule', file], { encoding: 'utf8' })

  test('prints sources, remarks and the visits of a child on time and of one who starts at 13 months', () => {
    const { stdout, status } = check('fractional-6-10-14-weeks')
    expect(status).toBe(0)
    expect(stdout).toContain('your national schedule prevails')
    expect(stdout).toContain('IPV 1: WHO does not recommend fractional doses at 6 weeks')
    expect(stdout).toMatch(
      /A child who comes on time\n {2}age +doses\n {2}birth +BCG 1, HEPB0 1 \(HEPB\), OPV0 1 \(BOPV\)/,
    )
    expect(stdout).toMatch(
      /A child who first comes at 13 months\n {2}age +doses\n {2}13 months +OPV 1 \(BOPV\), PCV 1, MR 1/,
    )
    expect(stdout).toContain('No longer given: BCG 1,')
  })

  test('names what contradicts itself and fails', () => {
    const broken = readFileSync('src/data/schedules/who-2025-preferred.json', 'utf8').replace(
      '"before": "6 weeks"',
      '"before": "0 days"',
    )
    const file = join(mkdtempSync(join(tmpdir(), 'schedule-')), 'broken.json')
    writeFileSync(file, broken)
    const { stdout, status } = check(file)
    rmSync(dirname(file), { recursive: true })
    expect(status).toBe(1)
    expect(stdout).toBe('series.HEPB0.doses.1: it is due at 0 days, but may be given only before 0 days\n')
  })

  test('says what to name when there is no such schedule', () => {
    const { stderr, status } = check('no-such')
    expect(status).toBe(1)
    expect(stderr).toContain('the schedules here are fractional-2-4-months')
  })
})
