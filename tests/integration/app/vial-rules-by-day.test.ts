/** Rules on opened vials are data: what changes on a day leaves vials that were opened before as they were. */
import { districtFile } from '../../../src/app/district-file.ts'
import { loadDistrict } from '../../../src/app/load-district.ts'
import { openVial } from '../../../src/app/vials/open-vial.ts'
import { vialNow } from '../../../src/app/vials/vial-shelf.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { fixedClock } from '../../support/fixed-clock.ts'
import { vialPolicy } from '../../support/shipped-data.ts'
import { openTestDatabase } from '../../support/test-database.ts'
import { testDeps } from '../../support/test-deps.ts'

const clock = fixedClock('2026-03-09T10:00+03:00')
const database = await openTestDatabase()
const shipped = testDeps(database, clock)
const stricter = {
  ...vialPolicy('who-2014'),
  effectiveOn: mustParseDay('2026-03-10'),
  shorter: [{ vaccines: ['MR'], hours: 4 }],
}
const deps = {
  ...shipped,
  shelf: { ...shipped.shelf, vialPolicies: [...shipped.shelf.vialPolicies, stricter] },
}

const districtWith = async (products: readonly string[]) => {
  const file = districtFile.parse({
    district: {
      name: 'Two Rivers',
      timeZone: 'Africa/Nairobi',
      region: 'GB',
      schedule: 'who-2025-preferred',
      products,
    },
    posts: [{ name: 'Ford', sessions: ['FREQ=WEEKLY;BYDAY=TU'] }],
    villages: [{ name: 'Mbari', post: 'Ford' }],
  })
  return (await database.transaction((tx) => loadDistrict(tx, deps, file))).district
}

/** Opens a vial, `at` an earlier moment where it is told late. */
async function opened(vaccine: string, products: readonly string[] = [], at = clock.now().toISOString()) {
  const district = await districtWith(products)
  return database.transaction((tx) =>
    openVial(tx, deps, {
      district,
      postId: null,
      vaccine,
      product: null,
      lot: 'L1',
      maker: null,
      expiryOn: mustParseDay('2027-05-31'),
      openedAt: new Date(at),
      conditions: null,
      by: 'test',
      via: 'api',
      textInId: null,
    }),
  )
}

const endOf = ({ discardBy }: Awaited<ReturnType<typeof opened>>) => discardBy.at

// Six hours for reconstituted vaccines: WHO/IVB/14.07. The four hours of the change are one of its national variants.
test('a policy that changes on a day holds for vials opened from that day on', async () => {
  clock.moveTo('2026-03-09T23:00+03:00')
  const before = await opened('MR')
  clock.moveTo('2026-03-10T10:00+03:00')
  const after = await opened('MR')
  const toldLate = await opened('MR', [], '2026-03-09T10:00+03:00')

  expect(endOf(before)).toEqual(new Date('2026-03-10T05:00+03:00'))
  expect(endOf(after)).toEqual(new Date('2026-03-10T14:00+03:00'))
  expect(endOf(toldLate)).toEqual(new Date('2026-03-09T16:00+03:00'))
})

test('a district supplied with another presentation counts and keeps new vials by it, and opened ones as they were', async () => {
  clock.moveTo('2026-03-11T10:00+03:00')
  const before = await opened('BOPV', ['bopv-10'])
  const after = await opened('BOPV', ['bopv-20'])

  const units = async (vial: typeof before) =>
    (await vialNow(database.db, deps.shelf, vial)).open.product.unitsPerVial
  expect([before.product, after.product]).toEqual(['bopv-10', 'bopv-20'])
  expect([await units(before), await units(after)]).toEqual([10, 20])
})
