/** Whatever tree of areas a district has, nothing is lost and nothing counted twice. */
import fc from 'fast-check'
import type { AreaShape } from '../../src/core/coverage/areas.ts'
import { areasInTree, treeProblem } from '../../src/core/coverage/areas.ts'
import { areaRows } from '../../src/core/coverage/area-rows.ts'
import { aSheetDose } from '../support/a-sheet-dose.ts'

const DOSES = [aSheetDose('BCG', 1)]

/** Each area is a part of an earlier one or stands at the top; each village lies anywhere or nowhere. */
const shaped = fc.record({
  parents: fc.array(fc.option(fc.nat(), { nil: null }), { maxLength: 8 }),
  villages: fc.array(fc.record({ area: fc.option(fc.nat(), { nil: null }), count: fc.nat({ max: 50 }) }), {
    minLength: 1,
    maxLength: 12,
  }),
})

function drawn({ parents, villages }: typeof shaped extends fc.Arbitrary<infer Value> ? Value : never) {
  const name = (place: number): string => `area ${place}`
  const areas = parents.map((parent, place) => ({
    name: name(place),
    parent: parent === null || place === 0 ? null : name(parent % place),
  }))
  const pairs = villages.flatMap(({ area }, place) =>
    area === null || areas.length === 0 ? [] : [[`village ${place}`, name(area % areas.length)]],
  )
  const shape: AreaShape = { areas, areaOf: Object.fromEntries(pairs) as Record<string, string> }
  const places = villages.map(({ count }, place) => ({
    id: `village ${place}`,
    name: `village ${place}`,
    denominators: { 'live-births': 40, 'surviving-infants': 40 },
    count: () => count,
  }))
  const rows = (level: number | null) =>
    new Map(
      areaRows([{ shape, places }], DOSES, { level, smallNumberBelow: 10 }).map((row) => [
        row.area,
        row.numerator,
      ]),
    )
  return { shape, places, rows }
}

const sum = (counts: readonly number[]): number => counts.reduce((total, count) => total + count, 0)

test('the areas of any level, with what has none, add up to the whole', () => {
  fc.assert(
    fc.property(shaped, fc.integer({ min: 1, max: 9 }), (given, level) => {
      const { rows, places } = drawn(given)
      const { ALL, ...parts } = Object.fromEntries(rows(level))
      expect(ALL).toBe(sum(places.map(({ count }) => count())))
      expect(sum(Object.values(parts))).toBe(ALL)
    }),
  )
})

test('an area is its own villages and its parts', () => {
  fc.assert(
    fc.property(shaped, (given) => {
      const { rows, places, shape } = drawn(given)
      const counted = rows(null)
      expect(treeProblem(shape.areas)).toBeUndefined()
      expect(areasInTree(shape.areas)).toHaveLength(shape.areas.length)
      for (const { name } of shape.areas) {
        const own = places.filter(({ id }) => shape.areaOf[id] === name).map(({ count }) => count())
        const parts = shape.areas
          .filter(({ parent }) => parent === name)
          .map((part) => counted.get(part.name) ?? NaN)
        expect(counted.get(name)).toBe(sum([...own, ...parts]))
      }
    }),
  )
})
