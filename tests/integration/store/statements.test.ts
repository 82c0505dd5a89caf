import { z } from 'zod'
import { statement } from '../../../src/store/statements.ts'
import { openTestDatabase } from '../../support/test-database.ts'

const { db, transaction } = await openTestDatabase()

describe('statement', () => {
  test('reads its file and hands over rows of the declared shape', async () => {
    const nextSerial = statement('next-card-serials', z.object({ serial: z.int() }))

    const [first] = await nextSerial(db, 1)
    const [second] = await nextSerial(db, 1)

    expect(second?.serial).toBe((first?.serial ?? 0) + 1)
  })

  test('refuses rows of another shape, so that a changed query cannot go unseen', async () => {
    const misread = statement('next-card-serials', z.object({ serial: z.string() }))

    await expect(misread(db, 1)).rejects.toThrow('expected string')
  })

  test('takes part in the transaction whose handle it gets', async () => {
    const lockChild = statement('lock-child', z.object({ id: z.string() }))

    const locked = await transaction((tx) => lockChild(tx, '019abe80-0000-7000-8000-000000000000'))

    expect(locked).toEqual([])
  })

  test('is not made from a file that is not there', () => {
    expect(() => statement('no-such-statement', z.unknown())).toThrow('no-such-statement.sql')
  })
})
