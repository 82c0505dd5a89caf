import fc from 'fast-check'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { stands } from '../../../src/core/exchange/statement-order.ts'
import type { Statement } from '../../../src/core/exchange/statement-order.ts'

const DAYS = ['2026-01-01', '2026-01-02'].map(mustParseDay)

const statement: fc.Arbitrary<Statement> = fc.record({
  statedAt: fc.constantFrom(null, new Date('2026-03-01'), new Date('2026-03-02')),
  isWithdrawn: fc.boolean(),
  childIssuer: fc.constant('urn:example:a'),
  childNumber: fc.constantFrom('1', '2'),
  vaccine: fc.constantFrom(null, 'BCG', 'PENTA'),
  givenOn: fc.constantFrom(null, ...DAYS),
  dayText: fc.constant('x'),
  postId: fc.constantFrom(null, 'p'),
  delivery: fc.constant('routine'),
  isElsewhere: fc.boolean(),
})

/** What stands after statements came in an order. */
function last(statements: readonly Statement[]): Statement | undefined {
  return statements.reduce<Statement | undefined>(
    (known, incoming) => (known === undefined || stands(incoming, known) ? incoming : known),
    undefined,
  )
}

test('whatever the order, the same statement stands at last', () => {
  const shuffled = fc
    .array(statement, { minLength: 1, maxLength: 6 })
    .chain((all) => fc.tuple(fc.constant(all), fc.shuffledSubarray(all, { minLength: all.length })))

  fc.assert(
    fc.property(shuffled, ([one, other]) => {
      expect(last([...other, ...other])).toEqual(last(one))
    }),
    { numRuns: 2000 },
  )
})

test('a statement does not stand against itself, so a repeat is no news', () => {
  fc.assert(
    fc.property(statement, (one) => {
      expect(stands(one, { ...one })).toBe(false)
    }),
  )
})
