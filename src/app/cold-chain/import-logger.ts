import { parse } from 'csv-parse/sync'
import { excursions } from '../../core/cold-chain/excursions.ts'
import type { Excursion } from '../../core/cold-chain/excursions.ts'
import { readLoggerRows } from '../../core/cold-chain/logger-rows.ts'
import type { LoggerColumns, RowProblem } from '../../core/cold-chain/logger-rows.ts'
import type { District } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { insertReadings } from '../../store/cold-chain.ts'
import type { Transaction } from '../../store/database.ts'
import type { Deps } from '../deps.ts'
import { raiseAlert } from '../reactions/alerts.ts'

export interface LoggerFile {
  readonly district: District
  readonly postId: string
  readonly fridge: string
  readonly columns: LoggerColumns
  readonly csv: string
  readonly by: string
}

export interface LoggerImport {
  readonly stored: number
  readonly problems: readonly RowProblem[]
  readonly excursions: readonly Excursion[]
}

/**
 * Takes over a logger's table; importing it again changes nothing. The worst time outside the range reaches the district.
 * @throws {Refusal} register-unreadable
 */
export async function importLogger(tx: Transaction, deps: Deps, file: LoggerFile): Promise<LoggerImport> {
  const { district, postId, fridge, columns, by } = file
  const { readings, problems } = readLoggerRows(rowsOf(file.csv), columns, district.timeZone)
  const stored = await insertReadings(
    tx,
    readings.map((reading) => ({
      ...reading,
      id: deps.newId(),
      districtId: district.id,
      postId,
      fridge,
      notedBy: by,
      notedVia: 'import',
      textInId: null,
    })),
  )
  const found = excursions(readings, deps.shelf.coldChain)
  const last = found.at(-1)
  if (stored > 0 && last !== undefined) {
    await raiseAlert(tx, deps, {
      districtId: district.id,
      kind: 'cold-chain',
      subject: `${postId} ${fridge}`,
      postId,
      childId: null,
      reactionId: null,
      words: String(last.worstC),
    })
  }
  return { stored, problems, excursions: found }
}

function rowsOf(csv: string): readonly (readonly string[])[] {
  try {
    return parse(csv, { bom: true, relax_column_count: true, skip_empty_lines: true })
  } catch (cause) {
    throw new Refusal('register-unreadable', 'The table is not CSV; export it as CSV and send it again.', {
      cause,
    })
  }
}
