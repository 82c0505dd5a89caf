import { readLoggerRows } from '../../../src/core/cold-chain/logger-rows.ts'

const ZONE = 'Africa/Nairobi'
const columns = { time: 'Time', celsius: 'Probe 1' }
const header = ['No', 'Time', 'Probe 1']
const read = (...rows: string[][]) => readLoggerRows([header, ...rows], columns, ZONE)

describe('readLoggerRows', () => {
  test.each([
    ['2026-03-01T08:00:00+03:00', '2026-03-01T05:00:00.000Z'],
    ['2026-03-01T05:00:00Z', '2026-03-01T05:00:00.000Z'],
    ['2026-03-01 08:00', '2026-03-01T05:00:00.000Z'],
    ['2026-03-01 08:00:30', '2026-03-01T05:00:30.000Z'],
  ])('reads the time %s (ISO 8601)', (time, instant) => {
    expect(read(['1', time, '4.5']).readings).toEqual([{ at: new Date(instant), celsius: 4.5, by: 'logger' }])
  })

  test.each([
    ['4,5', 4.5],
    ['-0.5', -0.5],
    ['+8 °C', 8],
    ['8C', 8],
  ])('reads the temperature "%s"', (text, celsius) => {
    expect(read(['1', '2026-03-01 08:00', text]).readings[0]?.celsius).toBe(celsius)
  })

  test('reports bad rows by line and column, and takes the good ones', () => {
    const { readings, problems } = read(
      ['1', '2026-03-01 08:00', '5'],
      ['2', '2026-02-30 08:00', '5'],
      ['3', '2026-03-01 25:00', ''],
      ['4', '01/03/2026', '5'],
      ['5', '2026-03-01 09:00', '851'],
      [],
      ['7', '2026-03-01 10:00', '6'],
    )

    expect(readings.map(({ celsius }) => celsius)).toEqual([5, 6])
    expect(problems).toEqual([
      { line: 3, column: 'Time', value: '2026-02-30 08:00', code: 'time-unreadable' },
      { line: 4, column: 'Time', value: '2026-03-01 25:00', code: 'time-unreadable' },
      { line: 4, column: 'Probe 1', value: '', code: 'temperature-unreadable' },
      { line: 5, column: 'Time', value: '01/03/2026', code: 'time-unreadable' },
      { line: 6, column: 'Probe 1', value: '851', code: 'temperature-impossible' },
      { line: 7, column: 'Time', value: '', code: 'time-unreadable' },
      { line: 7, column: 'Probe 1', value: '', code: 'temperature-unreadable' },
    ])
  })

  test('says which columns are missing', () => {
    expect(readLoggerRows([['No', 'Time']], columns, ZONE)).toEqual({
      readings: [],
      problems: [{ line: 1, column: 'Probe 1', value: '', code: 'column-missing' }],
    })
    expect(readLoggerRows([], columns, ZONE).problems).toHaveLength(2)
  })

  test('an impossible ISO instant is a problem, not a date', () => {
    expect(read(['1', '2026-13-01T08:00:00Z', '5']).problems[0]?.code).toBe('time-unreadable')
  })
})
