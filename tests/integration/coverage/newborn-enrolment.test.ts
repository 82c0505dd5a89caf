/** How soon newborns reach the register (requirement REG-17): counted by hand. */
import { pageVisitor } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call } = service

/** Enrolled on 4 March 2026: 43, 42, 13 and 1 days after birth. */
const BORN = [
  { village: 'Mbari', name: 'Asha Temba', birthDate: '2026-01-20' },
  { village: 'Mbari', name: 'Juma Okello', birthDate: '2026-01-21' },
  { village: 'Mbari', name: 'Neema Wanjiru', birthDate: '2026-02-19' },
  { village: 'Kesho', name: 'Baraka Moyo', birthDate: '2026-03-03' },
  { village: 'Kesho', name: 'Zawadi Phiri', birthDate: '2024-03-03' },
]

test('newborns are told by village: how many came on the register within 28 and 42 days, and the median', async () => {
  const district = await newDistrict(service)
  const { id, token } = district
  for (const child of BORN) await district.enrol({ ...child, isKnownToBeNew: true })

  const { body } = await call('GET', `/v1/districts/${id}/newborn-enrolment?from=2026-01-01&to=2026-03-31`, {
    token,
  })

  const row = (village: string, total: number, [within28, within42]: number[], medianDays: number) => ({
    village,
    total,
    within: [
      { limitDays: 28, count: within28 },
      { limitDays: 42, count: within42 },
    ],
    medianDays,
  })
  expect(body).toEqual({
    rows: [row('Kesho', 1, [1, 1], 1), row('Mbari', 3, [1, 2], 42), row('ALL', 4, [2, 3], 27.5)],
  })

  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  const { text } = await visitor.get(`/districts/${id}/data-check`)
  expect(text.replaceAll(/\s+/g, ' ')).toMatch(
    /Mbari<\/th> <td class="number">3<\/td> <td class="number">1<\/td> ?<td class="number">2<\/td> <td class="number">42<\/td>/,
  )
})
