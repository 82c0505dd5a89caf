import { runningService } from '../support/running-service.ts'
import { newDistrict, phoneOf } from '../support/test-district.ts'

const service = await runningService()
const { arrivals, clock, ask, inbox, liveUntil } = service

describe('the main job, from enrolment to coverage', () => {
  test('a child enrolled over the API is reminded, vaccinated by text, advised and counted', async () => {
    clock.moveTo('2026-03-05T15:00+03:00')
    const district = await newDistrict(service)
    const coverage = () =>
      service.call('GET', `/v1/districts/${district.id}/coverage.csv?cohort=2026`, { token: district.token })

    const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20', village: 'Mbari' })
    const phone = phoneOf(child)
    expect(child.appointment).toMatchObject({ sessionOn: '2026-03-10', status: 'planned' })
    expect((await coverage()).body).toContain('\nMbari,PENTA,1,0,39.0,0.0,')

    // The session is on a Tuesday; three days before it is a Saturday, one day before it a Monday.
    await liveUntil('2026-03-07T07:59+03:00')
    expect(inbox(phone)).toEqual([])
    await liveUntil('2026-03-07T08:00+03:00')
    await liveUntil('2026-03-09T07:59+03:00')
    expect(inbox(phone)).toEqual([
      'Ford: Asha is due for vaccines on Tue 10 Mar at Ford. Please bring the card. To stop: STOP',
    ])
    await liveUntil('2026-03-09T08:00+03:00')
    expect(inbox(phone).at(-1)).toBe(
      'Ford: we expect Asha on Tue 10 Mar at Ford for vaccines. Please bring the card. To stop: STOP',
    )

    await liveUntil('2026-03-10T11:00+03:00')
    const reply = await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
    const card = `${child.cardNumber.slice(0, 4)} ${child.cardNumber.slice(4)}`
    expect(reply).toBe(
      `${card} Asha: BCG 1, OPV 1, PENTA 1, PCV 1, ROTA 1 recorded for Tue 10 Mar. Next visit: Tue 7 Apr, Ford.`,
    )
    expect((await district.child(child.id)).appointment).toMatchObject({ sessionOn: '2026-04-07' })

    await liveUntil('2026-03-10T11:05+03:00')
    expect(inbox(phone)).toHaveLength(3)
    expect(inbox(phone).at(-1)).toMatch(/^Ford, after the vaccines of Asha: .*\. Next: Tue 7 Apr at Ford\./)
    // One dose on 39 surviving infants: 1000 people × 40 births ÷ 1000 × (1 − 25 ÷ 1000).
    expect((await coverage()).body).toContain('\nMbari,PENTA,1,1,39.0,2.6,')
  })

  test('everyone who was texted can tell what is next, and nobody was texted twice', async () => {
    clock.moveTo('2026-03-12T15:00+03:00')
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-02-01' })
    const phone = phoneOf(child)

    for (const day of ['14', '14', '16', '16']) await liveUntil(`2026-03-${day}T08:00+03:00`)
    await liveUntil('2026-03-17T12:00+03:00')

    expect(inbox(phone)).toHaveLength(2)
    expect(await ask(phone, 'when')).toBe(
      'Next vaccines for Asha: Tue 17 Mar at Ford. Please bring the card.',
    )
    expect(await ask(district.vaccinator, 'DUE')).toContain('Asha')
  })
})

// Clocks as in the IANA time zone database, release 2025c.
describe('reminders leave at eight in the morning on the clock of the district', () => {
  test.each([
    { zone: 'Pacific/Kiritimati', ahead: '2026-03-06T18:00:00Z', eve: '2026-03-08T18:00:00Z', session: 10 },
    { zone: 'Etc/GMT+12', ahead: '2026-03-07T20:00:00Z', eve: '2026-03-09T20:00:00Z', session: 10 },
    { zone: 'Asia/Kathmandu', ahead: '2026-03-07T02:15:00Z', eve: '2026-03-09T02:15:00Z', session: 10 },
    // Clocks went forward on Sunday 8 March here, and on Sunday 29 March there.
    { zone: 'America/New_York', ahead: '2026-03-07T13:00:00Z', eve: '2026-03-09T12:00:00Z', session: 10 },
    { zone: 'Europe/London', ahead: '2026-03-28T08:00:00Z', eve: '2026-03-30T07:00:00Z', session: 31 },
  ])('in $zone', async ({ zone, ahead, eve, session }) => {
    clock.moveTo('2026-03-01T12:00Z')
    const district = await newDistrict(service, {
      district: { timeZone: zone },
      posts: [{ name: 'Ford', sessions: [`RDATE;VALUE=DATE:202603${session}`] }],
    })
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const phone = phoneOf(child)

    for (const instant of [ahead, eve]) {
      const due = new Date(instant)
      await liveUntil(new Date(due.getTime() - 1000).toISOString())
      await liveUntil(instant)
    }

    expect(arrivals(phone).map((text) => text.at.toISOString())).toEqual(
      [ahead, eve].map((instant) => new Date(instant).toISOString()),
    )
  })
})
