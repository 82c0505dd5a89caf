import fc from 'fast-check'
import { isBelow, mayGive } from '../../src/core/rights/may-give.ts'
import type { Right } from '../../src/core/rights/may-give.ts'
import { TOKEN_ROLES } from '../../src/core/rights/token-role.ts'
import { ROUTES } from '../../src/http/routes/all.ts'

const PLACES = [null, 'here', 'there']
const TIMES = [null, new Date('2026-06-01T00:00Z'), new Date('2027-06-01T00:00Z')]
const rights = TOKEN_ROLES.flatMap((role) =>
  PLACES.flatMap((districtId) => TIMES.map((expiresAt): Right => ({ role, districtId, expiresAt }))),
)

/** What a right lets its holder do: each route, in each place, at each moment. */
function reachOf({ role, districtId, expiresAt }: Right): ReadonlySet<string> {
  const places = PLACES.filter((place) => districtId === null || place === districtId)
  const moments = ['2026-05-01', '2027-05-01', '2028-05-01'].filter(
    (day) => expiresAt === null || new Date(day) < expiresAt,
  )
  const routes = ROUTES.filter((route) => route.roles.includes(role))
  return new Set(
    routes.flatMap(({ method, path }) =>
      places.flatMap((place) => moments.map((moment) => `${method} ${path} ${String(place)} ${moment}`)),
    ),
  )
}

test('nobody gives what they may not do themselves, over all pairs of roles, places and times', () => {
  const reaches = new Map(rights.map((right) => [right, reachOf(right)]))
  for (const giver of rights) {
    for (const given of rights.filter((right) => mayGive(giver, right))) {
      const own = reaches.get(giver) ?? new Set()
      const beyond = [...(reaches.get(given) ?? [])].filter((call) => !own.has(call))
      expect({ giver, given, beyond }).toEqual({ giver, given, beyond: [] })
    }
  }
})

test('no chain of gifts, however long, reaches beyond the first giver or comes back to its role', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...rights),
      fc.array(fc.constantFrom(...rights), { maxLength: 6 }),
      (first, wishes) => {
        let holder = first
        for (const wish of wishes) if (mayGive(holder, wish)) holder = wish
        const own = reachOf(first)
        expect([...reachOf(holder)].filter((call) => !own.has(call))).toEqual([])
        expect(holder !== first && holder.role === first.role).toBe(false)
      },
    ),
  )
})

test('officers hand on to managers, vaccinators and machines, managers to vaccinators, others to nobody', () => {
  const below = TOKEN_ROLES.map((giver) => [giver, TOKEN_ROLES.filter((role) => isBelow(role, giver))])
  expect(Object.fromEntries(below)).toEqual({
    officer: ['manager', 'vaccinator', 'machine'],
    manager: ['vaccinator'],
    vaccinator: [],
    operator: [],
    machine: [],
  })
})
