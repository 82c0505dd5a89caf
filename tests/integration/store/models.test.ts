import { Prisma } from '../../../src/generated/prisma/client.ts'
import { insertSamples, rowsOf, SAMPLES } from '../../support/sample-rows.ts'
import { openTestDatabase } from '../../support/test-database.ts'

const { db } = await openTestDatabase()

beforeAll(() => insertSamples(db))

/** `PhoneLine` as the client spells it: `phoneLine`. */
const keyOf = (model: string): string => model.charAt(0).toLowerCase() + model.slice(1)

test('every model has a sample', () => {
  expect(Object.keys(SAMPLES).sort()).toEqual(Object.keys(Prisma.ModelName).map(keyOf).sort())
})

test.each(Object.entries(SAMPLES))(
  '%s is read back as it was written, field by field',
  async (model, sample) => {
    expect(await rowsOf(db, model).findMany()).toEqual([sample])
  },
)
