import { forecast } from '../../../src/core/schedule/forecast.ts'
import { forecastJson } from '../../../src/core/schedule/forecast-json.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { runningService } from '../../support/running-service.ts'
import { shippedSchedule } from '../../support/schedules.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'

const service = await runningService('2026-03-10T11:00+03:00')
const { call, clock, database, deliver, handset, inbox, whenIdle } = service
beforeEach(service.empty)

describe('several people at once', () => {
  test('report the doses of one child: all are kept, and one plan stands that follows from them', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const path = `/v1/children/${child.id}/doses`
    const report = (vaccine: string) =>
      call('POST', path, { token: district.token, body: { vaccines: [vaccine], givenOn: '2026-03-10' } })

    const replies = await Promise.all(['BCG', 'BOPV', 'PENTA', 'PCV'].map(report))

    expect(replies.map((reply) => reply.status)).toEqual([201, 201, 201, 201])
    const doses = await database.db.dose.findMany({ where: { childId: child.id } })
    expect(doses.map((dose) => dose.vaccine).sort()).toEqual(['BCG', 'BOPV', 'PCV', 'PENTA'])
    const planned = await database.db.appointment.findMany({
      where: { childId: child.id, status: 'planned' },
    })
    expect(planned).toHaveLength(1)

    const outlook = forecast(
      shippedSchedule('who-2025-preferred'),
      {
        birthOn: mustParseDay('2026-01-20'),
        sex: 'female',
        given: doses.map((dose) => ({ vaccine: dose.vaccine, on: mustParseDay('2026-03-10') })),
      },
      mustParseDay('2026-03-10'),
    )
    const verdicts = await database.db.doseVerdict.findMany({ where: { childId: child.id } })
    expect(
      verdicts.map(({ series, number, isValid }) => `${series} ${number ?? ''} ${isValid}`).sort(),
    ).toEqual(
      outlook.given
        .flatMap((dose) => dose.counts)
        .map(({ series, dose, valid }) => `${series} ${dose ?? ''} ${valid}`)
        .sort(),
    )
    const { body } = await call('GET', `/v1/children/${child.id}/forecast`, { token: district.token })
    expect(body).toMatchObject({ next: forecastJson(outlook).next })
  })

  test('report the same dose by text: it is recorded once, and each gets a reply', async () => {
    const district = await newDistrict(service)
    const others = [district.newPhone(), district.newPhone(), district.newPhone()]
    const people = [
      ...(district.file.people ?? []),
      ...others.map((phone, index) => ({
        name: `Worker ${index}`,
        role: 'vaccinator' as const,
        phone,
        post: 'Ford',
      })),
    ]
    await district.load({ ...district.file, people })
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const all = [district.vaccinator, ...others]

    await Promise.all(all.map((phone) => handset.text(phone, `GAVE ${child.cardNumber} BCG PENTA`)))
    await whenIdle()

    expect(await database.db.dose.count({ where: { childId: child.id } })).toBe(2)
    expect(all.map((phone) => inbox(phone).length)).toEqual([1, 1, 1, 1])
  })

  test('report and withdraw and move one child: nobody is left waiting for the other', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const on = (path: string, body: object) =>
      call('POST', `/v1/children/${child.id}/${path}`, { token: district.token, body })

    const replies = await Promise.all([
      on('doses', { vaccines: ['BCG'], givenOn: '2026-03-10' }),
      on('move', { villageId: district.villageId('Kesho') }),
      on('status', { status: 'active', on: '2026-03-10' }),
      on('doses', { vaccines: 'all', givenOn: '2026-03-10' }),
    ])

    expect(replies.map((reply) => reply.status)).toEqual([201, 200, 200, 201])
    expect(await database.db.appointment.count({ where: { childId: child.id, status: 'planned' } })).toBe(1)
  })

  test('record a dose while its reminder is being sent: what leaves is true, and it leaves once', async () => {
    clock.moveTo('2026-03-11T10:00+03:00')
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-02-01' })
    const phone = phoneOf(child)
    clock.moveTo('2026-03-16T08:00+03:00')

    await Promise.all([
      deliver(),
      call('POST', `/v1/children/${child.id}/doses`, {
        token: district.token,
        body: { vaccines: 'all', givenOn: '2026-03-16' },
      }),
    ])
    await deliver()

    const eves = inbox(phone).filter((text) => text.includes('we expect'))
    expect(eves.length).toBeLessThanOrEqual(1)
    const [eve] = await database.db.reminder.findMany({
      where: { childId: child.id, kind: 'eve', textOutId: null },
    })
    expect(eves.length === 1 || eve?.status === 'withdrawn').toBe(true)
  })
})
