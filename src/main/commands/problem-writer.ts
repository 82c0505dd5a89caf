import { stringify } from 'csv-stringify/sync'

/** What is wrong with a row of a file that was taken over, and what to do about it. */
export interface ReportedProblem {
  readonly line: number
  readonly column: string
  readonly value: string
  readonly code: string
  readonly advice: string
}

const COLUMNS = ['line', 'column', 'value', 'code', 'what_to_do'] as const

/** Writes each problem as a row of CSV on standard output, the heading before the first. */
export function problemWriter(): (problem: ReportedProblem) => void {
  let isFirst = true
  return ({ line, column, value, code, advice }) => {
    const row = [line, column, value, code, advice]
    process.stdout.write(stringify(isFirst ? [COLUMNS, row] : [row]))
    isFirst = false
  }
}
