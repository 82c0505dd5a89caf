/** What an outside report tool sees with its login of the database: the views that name nobody, and nothing else. */
import pg from 'pg'
import { endReportingLogin, makeReportingLogin } from '../../../src/app/reporting-login.ts'
import { newSecret } from '../../../src/platform/ids.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { ChildJson } from '../../support/test-district.ts'

const service = await runningService('2026-03-10T10:00+03:00')
const { ask, database, deps } = service
const REPORTING_VIEWS = [
  'district',
  'village',
  'health_post',
  'child',
  'dose',
  'visit',
  'reaction',
  'vial',
  'text',
]
const NAME = `report_test_${process.pid}`

/** Five girls of one village and month, a boy who is alone, and a girl whose family bars sharing; each had a dose. */
const children: ChildJson[] = []
let client: pg.Client

beforeAll(async () => {
  const district = await newDistrict(service)
  for (const [name, wish] of [
    ['Asha Temba', {}],
    ['Neema Umoja', {}],
    ['Zuberi Quill', {}],
    ['Mosi Okonkwo', {}],
    ['Baraka Mollel', {}],
    ['Jasper Alone', { sex: 'male', birthDate: '2025-12-03', village: 'Kesho' }],
    ['Wanda Barred', {}],
  ] as const)
    children.push(await district.enrol({ name, isKnownToBeNew: true, ...wish }))
  for (const { cardNumber } of children) await ask(district.vaccinator, `GAVE ${cardNumber} BCG 02/03/2026`)
  const barred = { sharingBarredAt: new Date(), sharingBarredBy: 'test' }
  await database.db.child.update({ where: { id: children.at(-1)?.id ?? '' }, data: barred })
  const password = await database.transaction((tx) => makeReportingLogin(tx, deps, newSecret, NAME))
  client = await connect(password)
})

async function connect(password: string): Promise<pg.Client> {
  const url = new URL(database.url)
  url.username = NAME
  url.password = password
  const opened = new pg.Client({ connectionString: url.href })
  await opened.connect()
  return opened
}

async function rowsOf(view: string): Promise<readonly Record<string, unknown>[]> {
  return (await client.query<Record<string, unknown>>(`select * from reporting.${view}`)).rows
}

test('a report login reads every view', async () => {
  for (const view of REPORTING_VIEWS.filter((each) => !['reaction', 'vial'].includes(each)))
    expect([view, (await rowsOf(view)).length > 0]).toEqual([view, true])
  expect(await rowsOf('reaction')).toEqual([])
  const doses = await rowsOf('dose')
  expect(doses.map(({ vaccine, given_year }) => [vaccine, given_year])).toEqual(
    Array.from({ length: 6 }, () => ['BCG', 2026]),
  )
  // The child that is like no other is not to be found by the months of its dose.
  const months = doses.map(({ given_month, age_months }) => [given_month, age_months === null])
  expect(months.sort()).toEqual([[null, true], ...Array.from({ length: 5 }, () => [3, false])])
})

test('a report login reads no table, no other view, and writes nothing', async () => {
  const { rows } = await client.query<{ name: string }>(
    `select n.nspname || '.' || c.relname as name from pg_class c join pg_namespace n on n.oid = c.relnamespace
     where n.nspname in ('public', 'reporting') and c.relkind in ('r', 'v', 'm', 'p')`,
  )
  const granted: readonly string[] = REPORTING_VIEWS.map((view) => `reporting.${view}`)
  const others = rows.map(({ name }) => name).filter((name) => !granted.includes(name))
  expect(others).toEqual(expect.arrayContaining(['public.child', 'reporting.told', 'reporting.salt']))

  for (const name of others)
    await expect(client.query(`select * from ${name}`)).rejects.toMatchObject({ code: '42501' })
  await client.query('set default_transaction_read_only = off')
  for (const statement of [
    'create table public.mine ()',
    'create table reporting.mine ()',
    'delete from reporting.district',
  ])
    await expect(client.query(statement)).rejects.toMatchObject({ code: '42501' })
})

test('no name, number, identifier or exact day stands in any view', async () => {
  let all = ''
  for (const view of REPORTING_VIEWS) all += JSON.stringify(await rowsOf(view))

  for (const child of children) {
    for (const word of [
      ...child.name.split(' '),
      child.id,
      child.cardNumber,
      phoneOf(child),
      child.birthDate,
    ])
      expect(all).not.toContain(word)
  }
  const { rows } = await client.query<{ table_name: string; column_name: string }>(
    `select table_name, column_name from information_schema.columns
     where table_schema = 'reporting' and data_type ~ '^(date|timestamp)' and table_name <> 'told'`,
  )
  expect(new Set(rows.map(({ table_name }) => table_name))).toEqual(new Set(['vial']))
})

test('a child alone in its village, month and sex is told of by its year of birth only, one who is not told of not at all', async () => {
  const told = (await rowsOf('child')).map(({ village_id, sex, birth_year, birth_month }) => [
    village_id !== null,
    sex,
    birth_year,
    birth_month,
  ])

  expect(told.filter(([, , year]) => year === 2026)).toEqual(
    Array.from({ length: 5 }, () => [true, 'female', 2026, 1]),
  )
  expect(told.filter(([, , year]) => year === 2025)).toEqual([[false, null, 2025, null]])
  expect(told).toHaveLength(6)
})

test('a name that is no report login is not made, changed or ended', async () => {
  for (const other of ['postgres', 'report_x"; drop table child; --', 'Report_X', 'report_nobody']) {
    const ended = database.transaction((tx) => endReportingLogin(tx, deps, other))
    await expect(ended).rejects.toMatchObject({ code: 'input-invalid' })
  }
  const made = database.transaction((tx) => makeReportingLogin(tx, deps, newSecret, 'postgres'))
  await expect(made).rejects.toMatchObject({ code: 'input-invalid' })
})

test('an ended login lets nobody in', async () => {
  await client.end()

  await database.transaction((tx) => endReportingLogin(tx, deps, NAME))

  await expect(connect('whatever')).rejects.toMatchObject({ code: expect.stringMatching(/^28/) as string })
})
