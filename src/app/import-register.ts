/**
 * Takes a register over, row by row and in constant memory. A good row goes in whole, a bad one not at all, and a row
 * that was taken over before changes nothing: what is known is never overwritten, only doses are added.
 */
import type { District } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import { readColumns } from '../core/register/register-columns.ts'
import type { RegisterProblem } from '../core/register/register-columns.ts'
import { nameKey, readRow } from '../core/register/register-row.ts'
import type { RegisterChild, RegisterScope } from '../core/register/register-row.ts'
import { getDistrict, listVillages } from '../store/districts.ts'
import type { Deps } from './deps.ts'
import { todayIn } from './deps.ts'
import { enrolRegisterRows } from './enrol-register-rows.ts'
import type { RowsEnrolled } from './enrol-register-rows.ts'
import { noteChange } from './note-change.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'

/** A row as it stands in the file; the first one names the columns. */
export interface RegisterLine {
  readonly line: number
  readonly cells: readonly string[]
}

export interface RegisterOrder {
  readonly districtId: string
  readonly by: string
  /** Everything is tried and nothing is kept. */
  readonly isDryRun: boolean
  /** Told of every problem in order of lines within a batch, once it is certain. */
  readonly onProblem: (problem: RegisterProblem) => void
  /** Told how far it has come, after every batch. */
  readonly onProgress: (soFar: RegisterResult) => void
}

export interface RegisterResult {
  readonly rows: number
  readonly enrolled: number
  /** Rows of children known before; their new doses are among `doses`. */
  readonly known: number
  readonly refused: number
  readonly doses: number
}

const NOTHING: RegisterResult = { rows: 0, enrolled: 0, known: 0, refused: 0, doses: 0 }

/** Rows of one transaction: few enough to hold no one up, enough that the trips to the database do not count. */
const BATCH = 500
/** A batch takes a second; on a server that is busy with other work it may take many. */
const LONGEST_BATCH_MS = 120_000

/** @throws {Refusal} district-not-found, register-columns-missing */
export async function importRegister(
  deps: Deps,
  order: RegisterOrder,
  lines: AsyncIterable<RegisterLine>,
): Promise<RegisterResult> {
  let importing: Importing | undefined
  let batch: RegisterLine[] = []
  let result = NOTHING
  const flush = async (): Promise<void> => {
    if (importing === undefined || batch.length === 0) return
    const done = await takeOver(deps, importing, batch)
    for (const problem of done.problems) order.onProblem(problem)
    result = sumOf(result, done.result)
    order.onProgress(result)
    batch = []
  }
  for await (const line of lines) {
    if (importing === undefined) importing = await open(deps, order, line)
    else batch.push(line)
    if (batch.length === BATCH) await flush()
  }
  if (importing === undefined) throw new Refusal('register-columns-missing', 'The file is empty.')
  await flush()
  if (!order.isDryRun) await noteImport(deps, order, result)
  return result
}

function sumOf(one: RegisterResult, other: RegisterResult): RegisterResult {
  return {
    rows: one.rows + other.rows,
    enrolled: one.enrolled + other.enrolled,
    known: one.known + other.known,
    refused: one.refused + other.refused,
    doses: one.doses + other.doses,
  }
}

interface Importing {
  readonly order: RegisterOrder
  readonly district: District
  readonly scope: RegisterScope
}

async function open(deps: Deps, order: RegisterOrder, titles: RegisterLine): Promise<Importing> {
  const { db } = deps.database
  const district = await getDistrict(db, order.districtId)
  const columns = readColumns(
    titles.cells,
    titles.line,
    newestOf(await versionsOf(db, deps.shelf, district.scheduleCode)),
  )
  if (columns.missing.length > 0) {
    const missing = columns.missing.join(', ')
    throw new Refusal(
      'register-columns-missing',
      `The first row has to name the columns; it lacks ${missing}.`,
    )
  }
  for (const problem of columns.problems) order.onProblem(problem)
  const villages = await listVillages(db, district.id)
  const { region, languages } = district
  const ids = new Map(villages.map(({ id, name }) => [nameKey(name), id]))
  return {
    order,
    district,
    scope: { columns, today: todayIn(deps, district), region, languages, villages: ids },
  }
}

/** Ends the transaction of a trial, carrying out what it would have done. */
class TrialOver extends Error {
  override readonly name = 'TrialOver'
  readonly done: RowsEnrolled

  constructor(done: RowsEnrolled) {
    super('a trial keeps nothing')
    this.done = done
  }
}

interface Taken {
  readonly problems: readonly RegisterProblem[]
  readonly result: RegisterResult
}

async function takeOver(deps: Deps, importing: Importing, lines: readonly RegisterLine[]): Promise<Taken> {
  const readings = lines.map(({ cells, line }) => readRow(cells, line, importing.scope))
  const rows = readings.flatMap((reading) => (reading.kind === 'child' ? [reading.child] : []))
  const refused = readings.flatMap((reading) => (reading.kind === 'refused' ? reading.problems : []))
  const { problems, enrolled, known, doses } = await enrolOrTry(deps, importing, rows)
  return {
    problems: [...refused, ...problems].sort((a, b) => a.line - b.line),
    result: { rows: lines.length, enrolled, known, refused: lines.length - enrolled - known, doses },
  }
}

async function enrolOrTry(
  deps: Deps,
  { order, district, scope }: Importing,
  rows: readonly RegisterChild[],
): Promise<RowsEnrolled> {
  try {
    return await deps.database.transaction(
      async (tx) => {
        const done = await enrolRegisterRows(tx, deps, { district, by: order.by, today: scope.today }, rows)
        if (order.isDryRun) throw new TrialOver(done)
        return done
      },
      { timeout: LONGEST_BATCH_MS },
    )
  } catch (error) {
    if (error instanceof TrialOver) return error.done
    throw error
  }
}

function noteImport(deps: Deps, { districtId, by }: RegisterOrder, result: RegisterResult): Promise<void> {
  return noteChange(deps.database.db, deps, {
    districtId,
    actor: by,
    act: 'import-register',
    subject: { kind: 'district', id: districtId },
    after: { ...result },
  })
}
