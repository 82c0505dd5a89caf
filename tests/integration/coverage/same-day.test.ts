/** Doses due together, given on one day or not (requirement COV-07; WHO kit, template T-b): docs/indicators.md, by hand. */
import { pageVisitor } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { ask, call } = service

const CHILDREN = [
  { village: 'Mbari', name: 'Asha Temba', given: ['PENTA 03/03/2026', 'BOPV 03/03/2026'] },
  { village: 'Mbari', name: 'Juma Okello', given: ['PENTA 03/03/2026', 'BOPV 04/03/2026'] },
  { village: 'Mbari', name: 'Neema Wanjiru', given: ['PENTA 03/03/2026'] },
  { village: 'Kesho', name: 'Baraka Moyo', given: ['PENTA 04/03/2026', 'BOPV 04/03/2026'] },
  { village: 'Kesho', name: 'Zawadi Phiri', given: ['BOPV 04/03/2026'] },
]

async function districtByHand() {
  await service.empty()
  const district = await newDistrict(service, { district: { schedule: 'measles-9-18' } })
  for (const { given, ...child } of CHILDREN) {
    const { cardNumber } = await district.enrol({ ...child, birthDate: '2026-01-20', isKnownToBeNew: true })
    for (const dose of given) await ask(district.vaccinator, `GAVE ${cardNumber} ${dose}`)
  }
  return district
}

test('of children with both doses due together, the share on one day is told by village', async () => {
  const district = await districtByHand()
  const { id, token } = district
  const rowsOf = async (query: string) =>
    (await call('GET', `/v1/districts/${id}/same-day${query}`, { token })).body as {
      rows: { pair: string }[]
    }
  const ofPair = async (query = '') => (await rowsOf(query)).rows.filter(({ pair }) => pair === 'dtp-1-opv-1')

  expect(await ofPair()).toMatchObject([
    { village: 'Kesho', sameDay: 1, hadBoth: 1, percent: 100, flags: ['small-number'] },
    { village: 'Mbari', sameDay: 1, hadBoth: 2, percent: 50, flags: ['small-number'] },
    { village: 'ALL', sameDay: 2, hadBoth: 3, percent: 200 / 3 },
  ])
  expect(await ofPair('?cohort=2025')).toMatchObject([{ hadBoth: 0 }, { hadBoth: 0 }, { hadBoth: 0 }])
  expect(await ofPair('?from=2026-03-04&to=2026-03-04')).toMatchObject([
    { village: 'Kesho', hadBoth: 1 },
    { village: 'Mbari', hadBoth: 0 },
    { village: 'ALL', hadBoth: 1 },
  ])

  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  const { text } = await visitor.get(`/districts/${id}/doses`)
  expect(text).toMatch(/PENTA 1 and OPV 1/)
  expect(text.replaceAll(/\s+/g, ' ')).toMatch(/Mbari<\/th> <td class="number">1\/2<\/td>/)
})
