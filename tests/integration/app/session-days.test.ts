import { isSessionDay } from '../../../src/core/sessions/session-calendar.ts'
import { mustParseDay, formatDay } from '../../../src/core/days/day.ts'
import { joinCaregiver } from '../../../src/app/enrol-child.ts'
import { policyOf } from '../../../src/app/shelf.ts'
import { sessionsOf } from '../../../src/app/sessions-of.ts'
import { getChild } from '../../../src/store/children.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { ChildJson, DistrictData, TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, deps, call, ask, inbox, liveUntil, liveThrough } = service
beforeEach(service.empty)

const A_LONG_TEST_MS = 180_000

/** Enrolled on Wednesday 4 March 2026 for the session of Tuesday 10 March. */
async function enrolForTheTenth(): Promise<{ district: TestDistrict; child: ChildJson; phone: string }> {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  expect(child.appointment?.sessionOn).toBe('2026-03-10')
  return { district, child, phone: phoneOf(child) }
}

/** The days that the texts of a phone name, as they were said. */
const daysNamed = (phone: string): string[] =>
  inbox(phone).flatMap((text) => /\w{3} \d+ \w{3}/.exec(text)?.[0] ?? [])

async function setSessions(district: TestDistrict, rules: readonly string[]): Promise<void> {
  const path = `/v1/villages/${district.villageId('Mbari')}`
  const changed = await call('PATCH', path, { token: district.token, body: { sessions: { rules } } })
  expect(changed.status).toBe(200)
}

function withPostDays(file: DistrictData, days: Partial<DistrictData['posts'][number]>): DistrictData {
  return { ...file, posts: file.posts.map((post) => ({ ...post, ...days })) }
}

describe('when the session days of a village change', () => {
  test('its children’s visits move to the new days, and so do their texts', async () => {
    const { district, child, phone } = await enrolForTheTenth()

    await setSessions(district, ['RDATE;VALUE=DATE:20260312'])
    await liveThrough('2026-03-12T12:00+03:00')

    expect((await district.child(child.id)).appointment?.sessionOn).toBe('2026-03-12')
    // A village with days of its own has its sessions there.
    expect(inbox(phone)).toEqual([
      expect.stringMatching(/Asha is due for vaccines on Thu 12 Mar at Mbari/),
      expect.stringMatching(/we expect Asha on Thu 12 Mar at Mbari/),
    ])
  })

  test('a text about the old day that is due before anyone has planned again does not leave', async () => {
    const { district, phone } = await enrolForTheTenth()
    clock.moveTo('2026-03-09T08:00+03:00')

    await setSessions(district, ['FREQ=WEEKLY;BYDAY=TH'])
    // The sweep comes first, the round that plans again later.
    await service.deliver()

    expect(daysNamed(phone)).not.toContain('Tue 10 Mar')
  })

  test('a family that was told of the old day hears of the new one at once', async () => {
    const { district, phone } = await enrolForTheTenth()
    await liveUntil('2026-03-07T08:00+03:00')
    clock.moveTo('2026-03-09T10:00+03:00')

    await setSessions(district, ['FREQ=WEEKLY;BYDAY=FR'])
    await liveUntil('2026-03-09T10:05+03:00')

    expect(inbox(phone)).toEqual([
      expect.stringMatching(/Tue 10 Mar/),
      'Ford: the vaccine day of Asha is now Fri 13 Mar at Mbari. Sorry for the change. To stop: STOP',
    ])
    await liveThrough('2026-03-13T09:00+03:00')
    expect(daysNamed(phone)).toEqual(['Tue 10 Mar', 'Fri 13 Mar', 'Fri 13 Mar', 'Fri 13 Mar'])
  })

  test('moved twice before the first text left, only the last day is told', async () => {
    const { district, phone } = await enrolForTheTenth()
    await liveUntil('2026-03-07T08:00+03:00')
    clock.moveTo('2026-03-08T20:00+03:00')

    await setSessions(district, ['FREQ=WEEKLY;BYDAY=TH'])
    await liveUntil('2026-03-08T20:05+03:00')
    await setSessions(district, ['FREQ=WEEKLY;BYDAY=FR'])
    await liveThrough('2026-03-09T09:00+03:00')

    expect(daysNamed(phone)).toEqual(['Tue 10 Mar', 'Fri 13 Mar'])
  })

  test('moved and back before a text left, nobody is told', async () => {
    const { district, phone } = await enrolForTheTenth()
    await liveUntil('2026-03-07T08:00+03:00')
    clock.moveTo('2026-03-07T20:00+03:00')

    await setSessions(district, ['FREQ=WEEKLY;BYDAY=TH'])
    await liveUntil('2026-03-07T20:05+03:00')
    await setSessions(district, ['FREQ=WEEKLY;BYDAY=TU'])
    await liveThrough('2026-03-08T20:00+03:00')

    expect(inbox(phone).filter((text) => text.includes('Sorry'))).toEqual([])
  })

  test('a parent who had not heard of a day gets the reminder of the new one', async () => {
    const { district, child, phone } = await enrolForTheTenth()
    await liveUntil('2026-03-07T08:00+03:00')
    const other = district.newPhone()
    await deps.database.transaction(async (tx) => {
      const line = { number: other, language: 'en', relation: 'father', consent: 'given' } as const
      await joinCaregiver(tx, deps, await getChild(tx, child.id), { ...line, consentSource: 'test' })
    })
    clock.moveTo('2026-03-09T10:00+03:00')

    await setSessions(district, ['RDATE;VALUE=DATE:20260312'])
    await liveThrough('2026-03-09T12:00+03:00')

    expect(inbox(phone).at(-1)).toMatch(/is now Thu 12 Mar/)
    expect(inbox(other).at(-1)).toMatch(/is due for vaccines on Thu 12 Mar/)
  })

  test('a family that asked for the later day itself is not told that it was moved', async () => {
    const { phone } = await enrolForTheTenth()
    await liveUntil('2026-03-07T08:00+03:00')

    await ask(phone, 'LATER')
    await liveUntil('2026-03-07T09:00+03:00')

    expect(inbox(phone).filter((text) => text.includes('Sorry'))).toEqual([])
  })
})

describe('when a post cancels a session', () => {
  test('by loading the district again without that day, the visits on it move', async () => {
    const { district, child, phone } = await enrolForTheTenth()
    await liveUntil('2026-03-09T08:00+03:00')

    await district.load(withPostDays(district.file, { exceptDays: ['2026-03-10'] }))
    await liveUntil('2026-03-09T08:10+03:00')

    expect((await district.child(child.id)).appointment?.sessionOn).toBe('2026-03-17')
    expect(inbox(phone).at(-1)).toMatch(/the vaccine day of Asha is now Tue 17 Mar at Ford/)
  })

  test('and no other is known, whoever was told of the day hears of that once, and of the new day later', async () => {
    const { district, child, phone } = await enrolForTheTenth()
    await liveUntil('2026-03-09T08:00+03:00')

    await district.load(withPostDays(district.file, { sessions: [] }))
    await liveUntil('2026-03-09T08:10+03:00')

    expect((await district.child(child.id)).appointment).toBeNull()
    expect(inbox(phone).at(-1)).toBe(
      'Ford: there is no vaccine day for Asha on Tue 10 Mar after all. We will text you the new day. To stop: STOP',
    )
    await district.load(withPostDays(district.file, { sessions: ['FREQ=WEEKLY;BYDAY=FR'] }))
    await liveThrough('2026-03-12T12:00+03:00')
    expect(daysNamed(phone).slice(-3)).toEqual(['Tue 10 Mar', 'Fri 13 Mar', 'Fri 13 Mar'])
  })

  test('after it moved and before that text left, whoever knew the first day hears that it is off', async () => {
    const { district, phone } = await enrolForTheTenth()
    await liveUntil('2026-03-07T08:00+03:00')
    clock.moveTo('2026-03-08T20:00+03:00')

    await district.load(withPostDays(district.file, { sessions: ['FREQ=WEEKLY;BYDAY=TH'] }))
    await liveUntil('2026-03-08T20:05+03:00')
    await district.load(withPostDays(district.file, { sessions: [] }))
    await liveThrough('2026-03-09T09:00+03:00')

    expect(inbox(phone).slice(1)).toEqual([expect.stringMatching(/no vaccine day for Asha on Tue 10 Mar/)])
  })

  test('and no other is known, whoever was not told of the day hears nothing', async () => {
    const { district, phone } = await enrolForTheTenth()

    await district.load(withPostDays(district.file, { sessions: [] }))
    await liveThrough('2026-03-10T12:00+03:00')

    expect(inbox(phone)).toEqual([])
  })

  test('loading the same file again plans nobody again', async () => {
    const { district, child } = await enrolForTheTenth()

    await district.load(district.file)

    const row = await database.db.child.findUnique({ where: { id: child.id } })
    expect(row?.planAgainOn).toBeNull()
    expect((await district.child(child.id)).appointment?.id).toBe(child.appointment?.id)
  })
})

test('texts name the hours of the session where they are known', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const posts = [{ name: 'Ford', sessions: ['FREQ=WEEKLY;BYDAY=TU'], hours: '09:00-13:00' }]
  const district = await newDistrict(service, { posts })
  const child = await district.enrol({ birthDate: '2026-01-20' })

  await liveUntil('2026-03-09T08:00+03:00')

  expect(inbox(phoneOf(child))).toEqual([
    'Ford: we expect Asha on Tue 10 Mar 09:00-13:00 at Ford for vaccines. Please bring the card. To stop: STOP',
  ])
  expect(await ask(phoneOf(child), 'WHEN')).toMatch(/Tue 10 Mar 09:00-13:00 at Ford/)
})

test(
  'no text of a busy year names a day on which there is no session',
  async () => {
    clock.moveTo('2026-01-05T10:00+03:00')
    const district = await newDistrict(service, {
      posts: [{ name: 'Ford', sessions: ['FREQ=MONTHLY;BYDAY=1TU,3FR'] }],
    })
    const children = [
      await district.enrol({ name: 'Asha Temba', birthDate: '2025-12-20' }),
      await district.enrol({ name: 'Juma Hill', birthDate: '2025-11-02', sex: 'male' }),
    ]

    await liveThrough('2026-03-01T12:00+03:00')
    await setSessions(district, ['FREQ=MONTHLY;BYDAY=2WE'])
    await liveThrough('2026-06-01T12:00+03:00')

    const reminders = await database.db.reminder.findMany({
      where: { districtId: district.id, textOutId: { not: null }, kind: { not: 'aftercare' } },
      include: { textOut: true, appointment: { include: { village: { include: { post: true } } } } },
    })
    expect(reminders.length).toBeGreaterThan(10)
    const policy = policyOf(deps.shelf, 'default')
    for (const { textOut, kind, aboutOn } of reminders) {
      if (kind.startsWith('missed')) continue
      const on = mustParseDay(aboutOn.toISOString().slice(0, 10))
      const rules =
        textOut !== null && textOut.createdAt < new Date('2026-03-01T09:00Z')
          ? ['FREQ=MONTHLY;BYDAY=1TU,3FR']
          : ['FREQ=MONTHLY;BYDAY=2WE']
      const sessions = sessionsOf({ sessions: { rules, extraDays: [], exceptDays: [] } }, on, policy)
      expect([formatDay(on), isSessionDay(sessions, on)]).toEqual([formatDay(on), true])
    }
    expect(children).toHaveLength(2)
  },
  A_LONG_TEST_MS,
)
