import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'
import { migrate } from '../../src/store/migrate.ts'
import { MigrationError } from '../../src/store/migration-error.ts'
import { emptyDatabases } from '../support/test-database.ts'

const FIRST = '20260101000000_first'
const SECOND = '20260102000000_second'
const THIRD = '20260103000000_third'

const makeDatabase = emptyDatabases()

const scratch = await mkdtemp(join(tmpdir(), 'duebell-steps-'))
afterAll(() => rm(scratch, { recursive: true }))

/** Makes a folder of steps. */
async function folderOf(steps: Readonly<Record<string, string>>): Promise<string> {
  const folder = await mkdtemp(join(scratch, 'steps-'))
  for (const [name, sql] of Object.entries(steps)) {
    await mkdir(join(folder, name))
    await writeFile(join(folder, name, 'migration.sql'), sql)
  }
  return folder
}

async function rowsOf(url: string, sql: string): Promise<unknown[]> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    const { rows } = await client.query<Record<string, unknown>>(sql)
    return rows
  } finally {
    await client.end()
  }
}

const mark = (step: string) =>
  `create table if not exists mark (step text); insert into mark values ('${step}');`

describe('migrate', () => {
  test('brings an empty database to the shape of this release, and then has nothing to do', async () => {
    const url = await makeDatabase()

    const applied = await migrate({ url, folder: 'prisma/migrations' })

    expect(applied.length).toBeGreaterThan(0)
    expect(await migrate({ url, folder: 'prisma/migrations' })).toEqual([])
    expect(await rowsOf(url, 'select name from migration order by name')).toEqual(
      applied.map((name) => ({ name })),
    )
    expect(await rowsOf(url, 'select * from child')).toEqual([])
  })

  test('applies the steps in the order of their names, and only the new ones', async () => {
    const url = await makeDatabase()
    const one = await folderOf({ [FIRST]: mark('first') })
    const all = await folderOf({ [THIRD]: mark('third'), [SECOND]: mark('second'), [FIRST]: mark('first') })

    expect(await migrate({ url, folder: one })).toEqual([FIRST])
    expect(await migrate({ url, folder: all })).toEqual([SECOND, THIRD])
    expect(await rowsOf(url, 'select step from mark')).toEqual([
      { step: 'first' },
      { step: 'second' },
      { step: 'third' },
    ])
  })

  test('applies each step once when twenty runners start together', async () => {
    const url = await makeDatabase()
    const folder = await folderOf({ [FIRST]: mark('first'), [SECOND]: mark('second') })

    const answers = await Promise.all(Array.from({ length: 20 }, () => migrate({ url, folder })))

    expect(answers.flat().sort()).toEqual([FIRST, SECOND])
    expect(await rowsOf(url, 'select step from mark')).toEqual([{ step: 'first' }, { step: 'second' }])
  })

  test('takes a failing step back whole, keeps those before it, and goes on once it is mended', async () => {
    const url = await makeDatabase()
    const broken = await folderOf({ [FIRST]: mark('first'), [SECOND]: `${mark('half')} select 1 / 0;` })
    const mended = await folderOf({ [FIRST]: mark('first'), [SECOND]: mark('second') })

    await expect(migrate({ url, folder: broken })).rejects.toThrow(
      `The step ${SECOND} failed and was taken back`,
    )
    expect(await rowsOf(url, 'select step from mark')).toEqual([{ step: 'first' }])
    expect(await migrate({ url, folder: mended })).toEqual([SECOND])
  })

  test('refuses a step that was changed after it was applied', async () => {
    const url = await makeDatabase()
    await migrate({ url, folder: await folderOf({ [FIRST]: mark('first') }) })

    const changed = migrate({ url, folder: await folderOf({ [FIRST]: mark('changed') }) })

    await expect(changed).rejects.toThrow(MigrationError)
    await expect(changed).rejects.toThrow(`The step ${FIRST} was changed`)
  })

  test('takes other line ends for the same step', async () => {
    const url = await makeDatabase()
    const sql = 'create table a ();\ncreate table b ();\n'
    await migrate({ url, folder: await folderOf({ [FIRST]: sql }) })

    const fromAnotherSystem = await folderOf({ [FIRST]: sql.replaceAll('\n', '\r\n') })

    expect(await migrate({ url, folder: fromAnotherSystem })).toEqual([])
  })

  test('works on beside a newer release, but not after a step it called breaking', async () => {
    const url = await makeDatabase()
    const old = await folderOf({ [FIRST]: mark('first') })
    const newer = { [FIRST]: mark('first'), [SECOND]: mark('second') }
    await migrate({ url, folder: await folderOf(newer) })

    expect(await migrate({ url, folder: old })).toEqual([])

    const breaking = { ...newer, [THIRD]: `-- breaking: the table is read by nobody else\ndrop table mark;` }
    await migrate({ url, folder: await folderOf(breaking) })

    await expect(migrate({ url, folder: old })).rejects.toThrow(`the breaking step ${THIRD}`)
  })

  test('refuses a step that comes before one already applied', async () => {
    const url = await makeDatabase()
    await migrate({ url, folder: await folderOf({ [SECOND]: mark('second') }) })

    const late = migrate({
      url,
      folder: await folderOf({ [FIRST]: mark('first'), [SECOND]: mark('second') }),
    })

    await expect(late).rejects.toThrow(`The step ${FIRST} comes before ${SECOND}`)
  })

  test('says which database does not answer', async () => {
    const unreachable = migrate({ url: 'postgresql://x@127.0.0.1:1/x', folder: 'prisma/migrations' })

    await expect(unreachable).rejects.toThrow('The database at 127.0.0.1:1 cannot be reached')
  })
})
