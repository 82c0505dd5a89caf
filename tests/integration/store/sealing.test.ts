import { enterKeys } from '../../../src/store/sealing/keys-in-use.ts'
import { reseal } from '../../../src/store/sealing/reseal.ts'
import { sealedColumns } from '../../../src/store/sealing/sealed-fields.ts'
import { openVault, SealError } from '../../../src/store/sealing/vault.ts'
import { putLine } from '../../../src/store/people.ts'
import { migrate } from '../../../src/store/migrate.ts'
import { insertSamples, type ModelKey, rowsOf, SAMPLES } from '../../support/sample-rows.ts'
import { emptyDatabases } from '../../support/test-database.ts'
import { type Database, openDatabase } from '../../../src/store/database.ts'

const FIRST = Buffer.alloc(32, 'first')
const SECOND = Buffer.alloc(32, 'second')
const makeDatabase = emptyDatabases()
const opened: (() => Promise<void>)[] = []
afterEach(async () => {
  for (const close of opened.splice(0)) await close()
})

const openWith = async (url: string, ...keys: Buffer[]) => {
  const vault = openVault(keys)
  const database = await openDatabase({
    url,
    vault,
    maxConnections: 4,
    statementTimeoutMs: 20_000,
    random: () => 0.5,
    onConnectionLost: () => undefined,
  })
  opened.push(database.close)
  return { ...database, vault }
}

async function migrated(): Promise<string> {
  const url = await makeDatabase()
  await migrate({ url, folder: 'prisma/migrations' })
  return url
}

/** Everything in every table, as a thief of the database would read it. */
async function dump(pool: Database['pool']): Promise<string> {
  const { rows } = await pool.query<{ name: string }>(
    `select relname as name from pg_class where relkind = 'r' and relnamespace = 'public'::regnamespace`,
  )
  const tables = await Promise.all(
    rows.map(async ({ name }) => JSON.stringify((await pool.query(`select * from ${name}`)).rows)),
  )
  return tables.join('\n')
}

const SECRETS = [
  SAMPLES.person.name,
  SAMPLES.person.phone,
  SAMPLES.phoneLine.number,
  SAMPLES.child.name,
  SAMPLES.child.statusReason,
  SAMPLES.textIn.body,
  SAMPLES.textOut.body,
  SAMPLES.formerName.name,
]

test('whoever has the database without the key reads no name, number or text in it', async () => {
  const database = await openWith(await migrated(), FIRST)
  await insertSamples(database.db)
  const all = await dump(database.pool)

  expect(all).toContain('sealed:n:')
  expect(SECRETS.filter((secret) => all.includes(secret))).toEqual([])
})

test('the service reads back what it wrote, inside a transaction, through a relation and by SQL of its own', async () => {
  const { db, transaction } = await openWith(await migrated(), FIRST)
  await insertSamples(db)
  for (const model of Object.keys(SAMPLES)) {
    expect((await rowsOf(db, model).findMany())[0]).toMatchObject(SAMPLES[model as ModelKey])
  }
  const found = await transaction(async (tx) => [
    await tx.caregiver.findFirst({
      where: { line: { number: SAMPLES.phoneLine.number } },
      include: { child: true },
    }),
    await tx.person.findUnique({ where: { phone: SAMPLES.person.phone } }),
    await tx.$queryRawUnsafe('select name from child'),
  ])
  expect(found).toMatchObject([
    { child: { name: SAMPLES.child.name } },
    { name: SAMPLES.person.name },
    [{ name: SAMPLES.child.name }],
  ])
})

test('a new key takes over batch by batch, and numbers are found all the while', async () => {
  const url = await migrated()
  const before = await openWith(url, FIRST)
  await enterKeys(before.pool, before.vault)
  await insertSamples(before.db)
  const { id, createdAt, ...line } = SAMPLES.phoneLine
  const more = Array.from({ length: 1200 }, (_, place) => `+4477009${String(10_000 + place)}`)
  await before.db.phoneLine.createMany({
    data: more.map((number, place) => ({
      ...line,
      number,
      createdAt,
      id: `${id.slice(0, -5)}${String(10_000 + place)}`,
    })),
  })

  const during = await openWith(url, SECOND, FIRST)
  await enterKeys(during.pool, during.vault)
  // Stopped after its first batch of lines, as a crash would.
  const stopped = reseal(during.pool, during.vault, (table) => {
    if (table === 'phone_line') throw new Error('the lights went out')
  })
  await expect(stopped).rejects.toThrow('the lights went out')
  for (const number of [more[0] ?? '', more.at(-1) ?? '']) {
    const known = await during.db.phoneLine.findFirstOrThrow({ where: { number } })
    const put = await putLine(during.db, {
      ...known,
      consent: 'given',
      consentSource: 'x',
      consentAt: createdAt,
    })
    expect(put).toMatchObject({ isNew: false, line: { id: known.id } })
  }
  expect(await reseal(during.pool, during.vault)).toBeGreaterThan(600)
  expect(await reseal(during.pool, during.vault)).toBe(0)

  const after = await openWith(url, SECOND)
  await enterKeys(after.pool, after.vault)
  expect(await after.db.phoneLine.count({ where: { number: { in: more } } })).toBe(more.length)
  expect(await after.db.dialogue.findFirst()).toMatchObject({ state: SAMPLES.dialogue.state })
})

test('a service with another key does not begin', async () => {
  const url = await migrated()
  const mine = await openWith(url, FIRST)
  await enterKeys(mine.pool, mine.vault)
  const other = await openWith(url, SECOND)

  await expect(enterKeys(other.pool, other.vault)).rejects.toThrow(SealError)
})

test('rows from before are sealed as they are', async () => {
  const database = await openWith(await migrated(), FIRST)
  await insertSamples(database.db)
  // In earnest no row has a value in each of them.
  await database.pool.query(`
    alter table text_pin drop constraint text_pin_is_chosen_or_waits;
    alter table text_in drop constraint text_in_pin_is_forgotten`)
  for (const { table, columns } of sealedColumns) {
    for (const { name, kind } of columns) {
      const value = kind === 'json' ? `'{"name": "Asha"}'` : `'Asha'`
      await database.pool.query(`
        alter table ${table} drop constraint ${table}_${name}_is_sealed;
        update ${table} set ${name} = ${value}`)
    }
  }
  expect(await reseal(database.pool, database.vault)).toBe(sealedColumns.length)

  expect(await dump(database.pool)).not.toContain('Asha')
  expect(await database.db.phoneLine.count({ where: { number: 'Asha' } })).toBe(1)
  expect(await database.db.change.findFirst()).toMatchObject({ before: { name: 'Asha' } })
  expect(await database.db.child.findFirst()).toMatchObject({ name: 'Asha' })
})

test('words that only look sealed come out as they went in', async () => {
  const { db } = await openWith(await migrated(), FIRST)
  const name = openVault([SECOND]).seal('text', 'Two Rivers')
  await db.district.create({ data: { ...SAMPLES.district, name } })
  expect((await db.district.findFirstOrThrow()).name).toBe(name)
})
