/** An opened vial from its text to the manager's page. */
import { readDataFile } from '../../src/platform/data-files.ts'
import { fieldOf, pageVisitor } from '../support/page-server.ts'
import type { PageVisitor } from '../support/page-server.ts'
import { runningService } from '../support/running-service.ts'
import { newDistrict } from '../support/test-district.ts'
import type { TestDistrict } from '../support/test-district.ts'

const service = await runningService('2025-03-03T09:00+03:00')
const { address, ask, clock, inbox, liveUntil, tokenFor } = service

const card = (digits: string): string => `${digits.slice(0, 4)} ${digits.slice(4)}`

async function pagesOf(district: TestDistrict): Promise<PageVisitor> {
  const visitor = pageVisitor(address)
  const token = await tokenFor('manager', district.id)
  await visitor.post('/sign-in/token', { token, next: '/district' })
  return visitor
}

test('a vial opened by text is used on four days, warned of, and its dose of day 29 lies before the manager', async () => {
  const district = await newDistrict(service)
  const { vaccinator } = district
  const children = []
  for (const name of ['Asha Temba', 'Bahati Wood', 'Chidi Vale', 'Dayo Hill', 'Ekene Marsh'])
    children.push(await district.enrol({ name, birthDate: '2025-01-10', village: 'Mbari' }))
  const cards = children.map((child) => child.cardNumber)

  // Liquid, opened 3 March 2025 09:30: last usable moment 31 March 09:30 (WHO/IVB/14.07: 28 days after opening).
  clock.moveTo('2025-03-03T09:30+03:00')
  expect(await ask(vaccinator, 'OPENED BOPV L4471B 05/2027')).toBe(
    'Vial 101, BOPV, is open. Write day and time on it. Discard it by Mon 31 Mar 09:30, or at once if it got warm, frozen, wet or dirty.',
  )

  const days = ['03', '10', '17', '24']
  for (const [index, day] of days.entries()) {
    await liveUntil(`2025-03-${day}T11:00+03:00`)
    const reply = await ask(vaccinator, `GAVE ${cards[index] ?? ''} OPV V 101`)
    expect(reply).toContain('OPV 1 recorded')
    expect(reply).not.toContain('Vial')
  }
  const warned = () => inbox(vaccinator).filter((body) => body.startsWith('Vial 101, BOPV: please'))
  await liveUntil('2025-03-28T07:59+03:00')
  expect(warned()).toEqual([])
  await liveUntil('2025-03-28T08:00+03:00')
  expect(warned()).toEqual(['Vial 101, BOPV: please discard it by Mon 31 Mar 09:30 and tell us: DISCARD 101'])
  await liveUntil('2025-03-31T08:00+03:00')
  expect(warned()).toHaveLength(2)
  await liveUntil('2025-03-31T09:30+03:00')
  expect(inbox(vaccinator).at(-1)).toBe('Vial 101, BOPV, is past its time: do not use it, discard it.')

  await liveUntil('2025-04-01T11:00+03:00')
  const reply = await ask(vaccinator, `GAVE ${cards[4] ?? ''} OPV V 101`)
  expect(reply).toMatch(new RegExp(`^${card(cards[4] ?? '')} Ekene: OPV 1 recorded`))
  expect(reply).toContain(
    'Vial 101: past its time. The dose stays on record; a manager will look. Follow your national policy.',
  )

  const manager = await pagesOf(district)
  const path = `/districts/${district.id}/vials`
  const page = await manager.get(path)
  expect(page.text).toMatch(/past its time<\/strong>/)
  expect(page.text).toMatch(/Ekene Marsh<\/a>[\s\S]*given after the vial’s time was over/)
  expect(page.text).toMatch(/5 of 10/)
  const [, action = ''] = /action="([^"]*looked-at)"/.exec(page.text) ?? []
  expect((await manager.post(action, { formToken: fieldOf(page, 'formToken') })).status).toBe(303)
  expect((await manager.get(path)).text).not.toContain('Ekene Marsh')

  expect(await ask(vaccinator, 'DISCARD 101')).toBe('Vial 101, BOPV, is discarded.')
  const waste = (await manager.get(path)).text
  // Held 10, given 5: (10 − 5) ÷ 10, by the formula of the WHO facility data guide (2018).
  expect(waste).toMatch(/BOPV[\s\S]*50\.0 %/)
})

test('the eleventh dose from a vial of ten is kept and flagged, and each dose knows its lot, route and site', async () => {
  clock.moveTo('2026-03-03T10:00+03:00')
  const district = await newDistrict(service)
  await ask(district.vaccinator, 'OPENED BOPV L4471B 05/2027')
  const replies: string[] = []
  let last = ''
  for (const letter of 'ABCDEFGHIJK') {
    const wish = {
      name: `${letter.repeat(6)} ${letter.repeat(4)}`,
      birthDate: '2026-01-10',
      isKnownToBeNew: true,
    }
    const child = await district.enrol(wish)
    last = child.id
    replies.push(await ask(district.vaccinator, `GAVE ${child.cardNumber} OPV V 101`))
  }

  expect(replies.slice(0, 10).filter((reply) => reply.includes('Vial 101'))).toEqual([])
  expect(replies.at(-1)).toContain('Vial 101: held no further dose. The dose stays on record')
  const { body } = await service.call('GET', `/v1/children/${last}/doses`, { token: district.token })
  expect(body).toMatchObject({
    doses: [
      {
        vaccine: 'BOPV',
        vialFlags: ['used-up'],
        vial: { number: 101, lot: 'L4471B', expiryOn: '2027-05-31', route: 'oral', site: 'mouth' },
      },
    ],
  })
})

test('a vaccine that only a published schedule knows is read by its code and its own words, and recorded', async () => {
  clock.moveTo('2026-03-03T10:00+03:00')
  const shipped = readDataFile('schedules/who-2025-preferred.json') as {
    vaccines: object[]
    series: object[]
  }
  const own = { code: 'DENX', name: 'Dengue vaccine of the district', kind: 'live', route: 'subcutaneous' }
  const schedule = {
    ...shipped,
    effectiveFrom: '2026-03-01',
    vaccines: [...shipped.vaccines, { ...own, words: ['breakbone'] }],
    series: [
      ...shipped.series,
      { id: 'DENX', name: 'Dengue', vaccines: ['DENX'], doses: [{ earliest: '6 weeks' }] },
    ],
  }
  const token = await tokenFor('officer')
  expect(await service.call('POST', '/v1/schedules', { token, body: schedule })).toMatchObject({
    status: 201,
  })
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-10' })

  expect(await ask(district.vaccinator, `GAVE ${child.cardNumber} breakbone`)).toContain('DENX 1 recorded')
  expect(await ask(district.vaccinator, 'OPENED DENX L9 05/2027')).toMatch(/^Vial 101, DENX, is open\./)
})
