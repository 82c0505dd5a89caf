import { randomUUID } from 'node:crypto'
import { sqlState, violatedConstraint } from '../../../src/store/database.ts'
import type { Transaction } from '../../../src/store/database.ts'
import { openTestDatabase } from '../../support/test-database.ts'

const { db, pool, transaction } = await openTestDatabase()

beforeAll(() =>
  pool.query(`
    create table thing (
      id integer primary key,
      size integer not null constraint thing_size_is_positive check (size > 0),
      part_of integer constraint thing_part_of_a_thing references thing deferrable initially deferred,
      span int4range constraint thing_spans_do_not_meet unique,
      constraint thing_spans_are_apart exclude using gist (span with &&)
    );
    insert into thing values (1, 1, null, '[1,5)')`),
)

async function failureOf(
  work: (tx: Transaction) => Promise<unknown>,
): Promise<{ state: unknown; name: unknown }> {
  const error: unknown = await transaction(work).then(
    () => undefined,
    (failure: unknown) => failure,
  )
  return { state: sqlState(error), name: violatedConstraint(error) }
}

const aDistrict = (name: string) => ({
  id: randomUUID(),
  name,
  timeZone: 'Africa/Nairobi',
  region: 'KE',
  languages: ['en'],
  scheduleCode: 'who-2025-preferred',
})

// The codes are those of PostgreSQL, Appendix A, class 23.
describe('violatedConstraint and sqlState name the rule that a statement broke', () => {
  test('unique', async () => {
    const failure = await failureOf((tx) => tx.$executeRaw`insert into thing values (1, 1)`)

    expect(failure).toEqual({ state: '23505', name: 'thing_pkey' })
  })

  test('check', async () => {
    const failure = await failureOf((tx) => tx.$executeRaw`insert into thing values (2, 0)`)

    expect(failure).toEqual({ state: '23514', name: 'thing_size_is_positive' })
  })

  test('exclusion', async () => {
    const failure = await failureOf((tx) => tx.$executeRaw`insert into thing values (2, 1, null, '[4,9)')`)

    expect(failure).toEqual({ state: '23P01', name: 'thing_spans_are_apart' })
  })

  test('foreign key, seen only when the transaction ends', async () => {
    const failure = await failureOf((tx) => tx.$executeRaw`insert into thing values (2, 1, 99)`)

    expect(failure).toEqual({ state: '23503', name: 'thing_part_of_a_thing' })
  })

  test('not null, which has no name', async () => {
    const failure = await failureOf((tx) => tx.$executeRaw`insert into thing values (2, null)`)

    expect(failure).toEqual({ state: '23502', name: undefined })
  })
})

describe('violatedConstraint and sqlState name the rule that the client broke', () => {
  test('unique', async () => {
    const twice = failureOf(async (tx) => {
      await tx.district.create({ data: aDistrict('North') })
      await tx.district.create({ data: aDistrict('North') })
    })

    expect(await twice).toEqual({ state: '23505', name: 'district_name_is_unique' })
  })

  test('check', async () => {
    const failure = await failureOf((tx) =>
      tx.district.create({ data: { ...aDistrict('South'), bundlingDays: 61 } }),
    )

    expect(failure).toEqual({ state: '23514', name: 'district_bundling_is_sensible' })
  })

  test('foreign key', async () => {
    const failure = await failureOf((tx) =>
      tx.healthPost.create({ data: { id: randomUUID(), districtId: randomUUID(), name: 'Hill' } }),
    )

    expect(failure).toEqual({ state: '23503', name: 'health_post_district_id_fkey' })
  })
})

test('an error of another kind has its state and no constraint', async () => {
  const failure = await failureOf((tx) => tx.$queryRaw`select 1 / 0`)

  // division_by_zero (PostgreSQL, Appendix A)
  expect(failure).toEqual({ state: '22012', name: undefined })
})

test.each([undefined, null, 'text', new Error('no database had a part in it'), { meta: {} }])(
  'what no database caused (%p) has neither',
  (error) => {
    expect([sqlState(error), violatedConstraint(error)]).toEqual([undefined, undefined])
  },
)

test('an error after an error in one transaction tells of the abort', async () => {
  const caught = failureOf(async (tx) => {
    await tx.$executeRaw`insert into thing values (1, 1)`.catch(() => undefined)
    await tx.$queryRaw`select 1`
  })

  // in_failed_sql_transaction (PostgreSQL, Appendix A)
  expect((await caught).state).toBe('25P02')
  expect(await db.$queryRaw`select count(*)::int as things from thing`).toEqual([{ things: 1 }])
})
