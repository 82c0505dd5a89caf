import { z } from 'zod'
import type { Deps } from '../../../src/app/deps.ts'
import { closePassedVisits } from '../../../src/app/close-passed-visits.ts'
import { refreshPlan } from '../../../src/app/refresh-plan.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import { scheduleData } from '../../support/schedules.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { ask, call, clock, database, deps, inbox, liveThrough, liveUntil, tokenFor } = service
beforeEach(async () => {
  await service.empty()
  clock.moveTo('2026-03-04T10:00+03:00')
})

/** The service's parts, counting transactions. */
function counting(): { readonly deps: Deps; readonly count: () => number } {
  let made = 0
  const transaction: Deps['database']['transaction'] = (work, options) => {
    made += 1
    if (made > 20) throw new Error('a child is planned again and again')
    return deps.database.transaction(work, options)
  }
  return { deps: { ...deps, database: { ...deps.database, transaction } }, count: () => made }
}

describe('a child that no session reaches', () => {
  const posts = [{ name: 'Ford', sessions: ['RDATE;VALUE=DATE:20260303'] }]

  test('is planned again once a day, not endlessly', async () => {
    const district = await newDistrict(service, { posts })
    const child = await district.enrol({ birthDate: '2026-01-20' })
    expect(child.appointment).toBeNull()

    for (const day of ['2026-03-05', '2026-03-06']) {
      clock.moveTo(`${day}T00:10+03:00`)
      const first = counting()
      await closePassedVisits(first.deps)
      expect(first.count()).toBe(1)
      const second = counting()
      await closePassedVisits(second.deps)
      expect(second.count()).toBe(0)
    }
  })

  test('gets its visit when a session is added that reaches it', async () => {
    const district = await newDistrict(service, { posts })
    const child = await district.enrol({ birthDate: '2026-01-20' })
    await liveUntil('2026-03-06T09:00+03:00')

    const sessions = { rules: ['RDATE;VALUE=DATE:20260312'] }
    const path = `/v1/villages/${district.villageId('Mbari')}`
    expect(await call('PATCH', path, { token: district.token, body: { sessions } })).toMatchObject({
      status: 200,
    })
    await liveUntil('2026-03-06T10:00+03:00')

    expect((await district.child(child.id)).appointment?.sessionOn).toBe('2026-03-12')
  })
})

describe('a visit of which only the doses change', () => {
  const CODE = 'one-more-vaccine'
  const Data = z.looseObject({ series: z.array(z.looseObject({ id: z.string() })) })
  const whole = Data.parse(scheduleData('src/data/schedules/who-2025-preferred.json'))
  const withoutPcv = whole.series.filter(({ id }) => id !== 'PCV')

  test('stays the same visit, asks for the new dose, and brings no text twice', async () => {
    const officer = await tokenFor('officer')
    const publish = async (changes: object): Promise<void> => {
      const body = { ...whole, id: CODE, ...changes }
      expect(await call('POST', '/v1/schedules', { token: officer, body })).toMatchObject({ status: 201 })
    }
    await publish({ effectiveFrom: '2025-01-01', series: withoutPcv })
    const district = await newDistrict(service, { district: { schedule: CODE } })
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const before = child.appointment
    expect(before?.sessionOn).toBe('2026-03-10')
    expect(before?.doses.map(({ vaccine }) => vaccine)).not.toContain('PCV')

    await publish({ effectiveFrom: '2026-03-07' })
    await liveThrough('2026-03-10T07:00+03:00')

    const after = (await district.child(child.id)).appointment
    expect(after).toMatchObject({ id: before?.id, sessionOn: '2026-03-10' })
    expect(after?.doses).toContainEqual({ series: 'PCV', dose: 1, vaccine: 'PCV' })
    expect(await database.db.appointment.count({ where: { childId: child.id } })).toBe(1)
    const texts = inbox(phoneOf(child))
    expect(texts.filter((text) => text.includes('Sorry'))).toEqual([])
    expect(new Set(texts).size).toBe(texts.length)
    const reminders = await database.db.reminder.findMany({ where: { childId: child.id } })
    const kinds = reminders.filter(({ status }) => status !== 'withdrawn').map(({ kind }) => kind)
    expect(new Set(kinds).size).toBe(kinds.length)
    expect(kinds.length).toBeGreaterThan(0)
  })
})

test('a plan of the same facts is the same plan: visit, reminders and the day to look again', async () => {
  const district = await newDistrict(service)
  const isKnownToBeNew = true
  const children = [
    await district.enrol({ name: 'Asha Temba', birthDate: '2026-03-03' }),
    await district.enrol({ name: 'Juma Hill', birthDate: '2025-06-01', isKnownToBeNew }),
    await district.enrol({ name: 'Neema Ford', birthDate: '2024-09-09', isKnownToBeNew, phone: null }),
  ]
  await ask(district.vaccinator, `GAVE ${children[1]?.cardNumber ?? ''} ALL yesterday`)
  await ask(phoneOf(children[0] ?? { phones: [] }), 'LATER')
  const planned = async () => ({
    visits: await database.db.appointment.findMany({ orderBy: { id: 'asc' } }),
    reminders: await database.db.reminder.findMany({ orderBy: { id: 'asc' } }),
    again: await database.db.child.findMany({ orderBy: { id: 'asc' }, select: { planAgainOn: true } }),
  })
  const once = await planned()

  for (const { id } of children) await deps.database.transaction((tx) => refreshPlan(tx, deps, id))

  expect(once.visits.length).toBeGreaterThan(2)
  expect(await planned()).toEqual(once)
})
