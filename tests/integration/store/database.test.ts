import { randomUUID } from 'node:crypto'
import { sqlState } from '../../../src/store/database.ts'
import type { Transaction } from '../../../src/store/database.ts'
import { openTestDatabase, openTestPool } from '../../support/test-database.ts'

const { url, db, pool, transaction } = await openTestDatabase()

beforeAll(() => pool.query('create table counter (name text primary key, value integer not null)'))
beforeEach(() => pool.query(`truncate counter; insert into counter values ('a', 0), ('b', 0)`))

async function valueOf(handle: Transaction, name: string): Promise<number> {
  const rows = await handle.$queryRaw<{ value: number }[]>`select value from counter where name = ${name}`
  return rows[0]?.value ?? Number.NaN
}

const increase = (handle: Transaction, name: string) =>
  handle.$executeRaw`update counter set value = value + 1 where name = ${name}`

/** Lets each caller wait until `size` have come; later ones pass at once. */
function gate(size: number): () => Promise<void> {
  let arrived = 0
  let open: () => void = () => undefined
  const opened = new Promise<void>((resolve) => (open = resolve))
  return () => {
    arrived++
    if (arrived >= size) open()
    return opened
  }
}

describe('transaction', () => {
  test('keeps all of its work', async () => {
    const value = await transaction(async (tx) => {
      await increase(tx, 'a')
      return valueOf(tx, 'a')
    })

    expect(value).toBe(1)
    expect(await valueOf(db, 'a')).toBe(1)
  })

  test('keeps nothing when its work fails', async () => {
    const failed = transaction(async (tx) => {
      await increase(tx, 'a')
      throw new Error('changed my mind')
    })

    await expect(failed).rejects.toThrow('changed my mind')
    expect(await valueOf(db, 'a')).toBe(0)
  })

  test('covers what the client and what statements do alike', async () => {
    const name = 'Never Kept'
    const counted = transaction(async (tx) => {
      const data = {
        id: randomUUID(),
        name,
        timeZone: 'UTC',
        region: 'KE',
        languages: ['en'],
        scheduleCode: 'x',
      }
      await tx.district.create({ data })
      const rows = await tx.$queryRaw`select count(*)::int as districts from district where name = ${name}`
      throw new Error(JSON.stringify(rows))
    })

    await expect(counted).rejects.toThrow('[{"districts":1}]')
    expect(await db.district.count({ where: { name } })).toBe(0)
  })

  test('runs again after a deadlock, so that both sides end well', async () => {
    const bothHoldOne = gate(2)
    let attempts = 0
    const cross = (first: string, second: string) =>
      transaction(async (tx) => {
        attempts++
        await increase(tx, first)
        await bothHoldOne()
        await increase(tx, second)
      })

    await Promise.all([cross('a', 'b'), cross('b', 'a')])

    expect(attempts).toBe(3)
    expect([await valueOf(db, 'a'), await valueOf(db, 'b')]).toEqual([2, 2])
  })

  test('runs again after a serialization failure, so that no update is lost', async () => {
    const bothHaveRead = gate(2)
    let attempts = 0
    const copyAndAdd = () =>
      transaction(
        async (tx) => {
          attempts++
          const seen = await valueOf(tx, 'a')
          await bothHaveRead()
          await tx.$executeRaw`update counter set value = ${seen + 1} where name = 'a'`
        },
        { isolationLevel: 'Serializable' },
      )

    await Promise.all([copyAndAdd(), copyAndAdd()])

    expect(attempts).toBe(3)
    expect(await valueOf(db, 'a')).toBe(2)
  })

  test('gives up after six more attempts', async () => {
    let attempts = 0
    const hopeless = transaction(async (tx) => {
      attempts++
      await tx.$executeRaw`do $$ begin raise exception 'never' using errcode = '40001'; end $$`
    })

    await expect(hopeless).rejects.toThrow('never')
    expect(attempts).toBe(7)
  })

  test('does not run again after any other failure', async () => {
    let attempts = 0
    const wrong = transaction(async (tx) => {
      attempts++
      await tx.$executeRaw`insert into counter values ('a', 1)`
    })

    await expect(wrong).rejects.toThrow('duplicate key')
    expect(attempts).toBe(1)
  })
})

describe('the pool', () => {
  test('survives the loss of every connection, idle or at work', async () => {
    await Promise.all([1, 2, 3].map(() => db.$queryRaw`select pg_sleep(0.05)::text`))
    const atWork = db.$queryRaw`select pg_sleep(20)::text`
    const lost = atWork.then(
      () => false,
      () => true,
    )

    await pool.query(`
      select pg_terminate_backend(pid) from pg_stat_activity
      where datname = current_database() and pid <> pg_backend_pid()`)

    expect(await lost).toBe(true)
    expect(await valueOf(db, 'a')).toBe(0)
    await increase(db, 'a')
    expect(await transaction((tx) => valueOf(tx, 'a'))).toBe(1)
  })

  test('ends a statement that runs too long', async () => {
    const hasty = await openTestPool(url, 20)
    const slow = await hasty.db.$queryRaw`select pg_sleep(10)::text`.catch(sqlState)
    await hasty.close()

    // query_canceled (PostgreSQL, Appendix A)
    expect(slow).toBe('57014')
  })

  test('reads a day as text, so that no zone can move it', async () => {
    const { rows } = await pool.query<{ day: string }>(`select date '2026-03-15' as day`)

    expect(rows).toEqual([{ day: '2026-03-15' }])
  })
})
