import { createHash } from 'node:crypto'
import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import pg from 'pg'
import { MigrationError } from './migration-error.ts'

export interface MigrateOptions {
  readonly url: string
  /** Folder that holds one `<timestamp>_<what>/migration.sql` for each step. */
  readonly folder: string
  /** Only these steps, for a backup of an older release; left out: all there are. @throws when one is not known */
  readonly only?: readonly string[]
}

interface Step {
  readonly name: string
  readonly sql: string
  readonly checksum: string
  /** An older release must not meet a database with this step. */
  readonly isBreaking: boolean
}

type AppliedStep = Omit<Step, 'sql'>

/** Any number, the same for all releases: runners of one database wait for each other. */
const RUNNER_LOCK = 7_160_419
const LOCK_TIMEOUT = '2min'

const STEP_NAME = /^\d{14}_[a-z0-9_]+$/
const BREAKING = /^-- breaking: \S/

const CREATE_LEDGER = `
  create table if not exists migration (
    name text primary key,
    checksum text not null,
    is_breaking boolean not null,
    applied_at timestamptz not null default now()
  )`
const READ_LEDGER = 'select name, checksum, is_breaking as "isBreaking" from migration order by name'
const ENTER_STEP = 'insert into migration (name, checksum, is_breaking) values ($1, $2, $3)'

/**
 * Brings a database forward, each step in a transaction of its own, and returns the names of the steps it
 * applied. Any number of runners may start at once; a step is never applied twice and never taken back.
 * @throws {MigrationError} when the database's history is not the one these files tell
 */
export async function migrate({ url, folder, only }: MigrateOptions): Promise<string[]> {
  const known = chosenSteps(await readSteps(folder), only)
  const client = new pg.Client({ connectionString: url, application_name: 'duebell migrate' })
  await connect(client)
  try {
    await client.query(`set lock_timeout = '${LOCK_TIMEOUT}'; set statement_timeout = 0`)
    await client.query('select pg_advisory_lock($1)', [RUNNER_LOCK])
    await client.query(CREATE_LEDGER)
    const { rows: applied } = await client.query<AppliedStep>(READ_LEDGER)
    const pending = pendingSteps(known, applied)
    for (const step of pending) await apply(client, step)
    return pending.map((step) => step.name)
  } finally {
    // Ending the session also gives the lock back.
    await client.end()
  }
}

async function connect(client: pg.Client): Promise<void> {
  try {
    await client.connect()
  } catch (cause) {
    throw new MigrationError(
      `The database at ${client.host}:${client.port} cannot be reached (${String(cause)}); check DATABASE_URL.`,
      { cause },
    )
  }
}

/** The names of the steps of this release, oldest first. */
export async function namesOfSteps(folder: string): Promise<string[]> {
  return (await readSteps(folder)).map(({ name }) => name)
}

async function readSteps(folder: string): Promise<Step[]> {
  const entries = await readdir(folder, { withFileTypes: true })
  const names = entries.filter((entry) => entry.isDirectory() && STEP_NAME.test(entry.name))
  return Promise.all(
    names
      .map((entry) => entry.name)
      .sort()
      .map((name) => readStep(folder, name)),
  )
}

function chosenSteps(known: readonly Step[], only: readonly string[] | undefined): readonly Step[] {
  if (only === undefined) return known
  const names = new Set(known.map(({ name }) => name))
  const foreign = only.find((name) => !names.has(name))
  if (foreign === undefined) return known.filter(({ name }) => only.includes(name))
  throw new MigrationError(
    `The step ${foreign} is not known to this release; use the release that brought it, or a newer one.`,
  )
}

async function readStep(folder: string, name: string): Promise<Step> {
  const text = await readFile(join(folder, name, 'migration.sql'), 'utf8')
  // A checkout may have changed the line ends; that is not a change of the step.
  const sql = text.replaceAll('\r\n', '\n')
  return {
    name,
    sql,
    checksum: createHash('sha256').update(sql).digest('hex'),
    isBreaking: BREAKING.test(sql),
  }
}

/** The steps still to do, once the database's history is known to be the beginning of ours. */
function pendingSteps(known: readonly Step[], applied: readonly AppliedStep[]): Step[] {
  const knownByName = new Map(known.map((step) => [step.name, step]))
  for (const past of applied) {
    const step = knownByName.get(past.name)
    if (step === undefined && past.isBreaking) {
      throw new MigrationError(
        `The database has the breaking step ${past.name}, which this release does not know; ` +
          'run the release that brought it, or a newer one.',
      )
    }
    if (step !== undefined && step.checksum !== past.checksum) {
      throw new MigrationError(
        `The step ${past.name} was changed after it was applied; ` +
          'put the file back as it was and write a new step for the change.',
      )
    }
  }

  const appliedNames = new Set(applied.map((step) => step.name))
  const pending = known.filter((step) => !appliedNames.has(step.name))
  const newestApplied = applied.at(-1)?.name ?? ''
  const late = pending.find((step) => step.name < newestApplied)
  if (late !== undefined) {
    throw new MigrationError(
      `The step ${late.name} comes before ${newestApplied}, which is already applied; ` +
        'give it a later timestamp.',
    )
  }
  return pending
}

async function apply(client: pg.Client, step: Step): Promise<void> {
  await client.query('begin')
  try {
    await client.query(ENTER_STEP, [step.name, step.checksum, step.isBreaking])
    await client.query(step.sql)
    await client.query('commit')
  } catch (error) {
    await client.query('rollback')
    throw new MigrationError(`The step ${step.name} failed and was taken back: ${String(error)}`, {
      cause: error,
    })
  }
}
