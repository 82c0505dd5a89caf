import { DateTime } from 'luxon'
import { parseDay } from '../days/day.ts'
import { instantOf } from '../days/zoned-time.ts'
import type { Reading } from './excursions.ts'

/** Which columns of a logger's table hold what; loggers differ, so a district says it once for each kind. */
export interface LoggerColumns {
  readonly time: string
  readonly celsius: string
}

export interface RowProblem {
  /** Line of the file; the header is line 1. */
  readonly line: number
  readonly column: string
  readonly value: string
  readonly code: 'column-missing' | 'time-unreadable' | 'temperature-unreadable' | 'temperature-impossible'
}

type Cell = Omit<RowProblem, 'code'>

interface RowCells {
  readonly time: Cell
  readonly celsius: Cell
}

export interface LoggerReadings {
  /** The good rows, in file order. */
  readonly readings: readonly Reading[]
  readonly problems: readonly RowProblem[]
}

const LOCAL_TIME = /^(\d{4}-\d{2}-\d{2})[ T](\d{2}):(\d{2})(?::(\d{2}))?$/
const OFFSET = /(?:Z|[+-]\d{2}:?\d{2})$/
const CELSIUS = /^([+-]?\d+(?:[.,]\d+)?) ?(?:°? ?C)?$/

/** Colder or warmer than this no refrigerator in use is; a sensor that says so is broken. */
const POSSIBLE_C = { least: -90, most: 60 } as const

/** An instant with its offset from UTC, or a time of the zone's clocks: ISO 8601, `T` or a space between. */
function readTime(text: string, zone: string): Date | undefined {
  if (OFFSET.test(text)) {
    const instant = DateTime.fromISO(text.replace(' ', 'T'))
    return instant.isValid ? instant.toJSDate() : undefined
  }
  const [, dayText = '', hour, minute, second = '0'] = LOCAL_TIME.exec(text) ?? []
  const day = parseDay(dayText)
  const clockMinute = Number(hour) * 60 + Number(minute)
  if (day === undefined || Number(hour) > 23 || Number(minute) > 59 || Number(second) > 59) return undefined
  return new Date(instantOf({ day, minute: clockMinute }, zone).getTime() + Number(second) * 1000)
}

function readCelsius(text: string): number | undefined {
  const digits = CELSIUS.exec(text)?.[1]
  return digits === undefined ? undefined : Number(digits.replace(',', '.'))
}

/** A reading, or all that is wrong with its row. */
function readRow(cells: RowCells, zone: string): Reading | RowProblem[] {
  const at = readTime(cells.time.value, zone)
  const celsius = readCelsius(cells.celsius.value)
  const problems: RowProblem[] = []
  if (at === undefined) problems.push({ ...cells.time, code: 'time-unreadable' })
  if (celsius === undefined) problems.push({ ...cells.celsius, code: 'temperature-unreadable' })
  else if (celsius < POSSIBLE_C.least || celsius > POSSIBLE_C.most)
    problems.push({ ...cells.celsius, code: 'temperature-impossible' })
  else if (at !== undefined) return { at, celsius, by: 'logger' }
  return problems
}

/**
 * Reads the rows of a logger's table, already split into cells; the first row is the header. A bad row is a
 * problem with its line, the others go in.
 */
export function readLoggerRows(
  rows: readonly (readonly string[])[],
  columns: LoggerColumns,
  zone: string,
): LoggerReadings {
  const header = (rows[0] ?? []).map((cell) => cell.trim())
  const absent = [columns.time, columns.celsius].filter((column) => !header.includes(column))
  const problems: RowProblem[] = absent.map((column) => ({
    line: 1,
    column,
    value: '',
    code: 'column-missing',
  }))
  if (problems.length > 0) return { readings: [], problems }

  const cell = (row: readonly string[], index: number, column: string) => ({
    line: index + 2,
    column,
    value: row[header.indexOf(column)]?.trim() ?? '',
  })
  const readings: Reading[] = []
  for (const [index, row] of rows.slice(1).entries()) {
    const cells = { time: cell(row, index, columns.time), celsius: cell(row, index, columns.celsius) }
    const read = readRow(cells, zone)
    if (Array.isArray(read)) problems.push(...read)
    else readings.push(read)
  }
  return { readings, problems }
}
