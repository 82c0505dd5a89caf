import { recordDoses } from '../../../src/app/record-doses.ts'
import { handOver } from '../../../src/app/hand-over.ts'
import { sweep } from '../../../src/app/sweep.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { silentConveyor } from '../../../src/main/open-deps.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { arrivals, clock, database, deps, handset, ask, call, inbox, liveUntil, liveThrough } = service
beforeEach(service.empty)

/** One session a month, on the second Tuesday: 10 March 2026, 14 April, 12 May, 9 June, 14 July. */
const MONTHLY = { posts: [{ name: 'Ford', sessions: ['FREQ=MONTHLY;BYDAY=2TU'] }] }

/** Each reminder of a child as "kind status reason", in the order of sending. */
async function remindersOf(child: ChildJson): Promise<string[]> {
  const rows = await database.db.reminder.findMany({
    where: { childId: child.id },
    orderBy: [{ sendAt: 'asc' }, { aboutOn: 'asc' }],
  })
  return rows.map(({ kind, status, reason }) =>
    [kind, status, reason].filter((part) => part !== null).join(' '),
  )
}

/** Enrolled on Wednesday 4 March 2026 for the session of Tuesday 10 March. */
async function enrolForTheTenth(): Promise<{ district: TestDistrict; child: ChildJson; phone: string }> {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  expect(child.appointment?.sessionOn).toBe('2026-03-10')
  return { district, child, phone: phoneOf(child) }
}

/** Hints at what is due, as a sweep does, while no worker comes to it yet. */
async function isAnythingDue(): Promise<boolean> {
  return (await sweep({ ...deps, conveyor: silentConveyor }, handset)).lanes > 0
}

const sendAll = (): Promise<void> => handOver(deps, handset, handset.name)

describe('who is reminded of what', () => {
  test('children of one line with the same session day share one text', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const phone = district.newPhone()
    await district.enrol({ phone, name: 'Asha Temba', birthDate: '2026-01-20' })
    await district.enrol({ phone, name: 'Juma Temba', sex: 'male', birthDate: '2026-01-20' })

    await liveUntil('2026-03-07T08:00+03:00')
    await liveUntil('2026-03-09T08:00+03:00')

    expect(inbox(phone)).toEqual([
      'Ford: 2 children are due for vaccines on Tue 10 Mar at Ford. Please bring the card. To stop: STOP',
      'Ford: we expect 2 children on Tue 10 Mar at Ford for vaccines. Please bring the card. To stop: STOP',
    ])
  })

  test('a child without a phone gets no text and stands on the list of its health worker', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const child = await district.enrol({ phone: null, name: 'Zawadi Hill' })

    expect(await remindersOf(child)).toEqual([])
    expect(await ask(district.vaccinator, 'DUE')).toMatch(/Zawadi/)
  })

  test('a family that has not agreed yet gets no reminder', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const phone = district.newPhone()
    const body = {
      villageId: district.villageId('Mbari'),
      name: 'Asha Temba',
      sex: 'female',
      birthDate: '2026-01-20',
      caregiver: { phone, consent: 'asked' },
    }
    await call('POST', '/v1/children', { token: district.token, body })

    await liveUntil('2026-03-09T08:00+03:00')

    expect(inbox(phone)).toEqual([])
  })

  test('a family that chose recalls only hears nothing before the visit and is recalled after it', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const phone = district.newPhone()
    const body = {
      villageId: district.villageId('Mbari'),
      name: 'Asha Temba',
      sex: 'female',
      birthDate: '2026-01-20',
      caregiver: { phone, reminders: 'recall-only' },
    }
    expect(await call('POST', '/v1/children', { token: district.token, body })).toMatchObject({ status: 201 })

    await liveUntil('2026-03-09T08:00+03:00')
    await liveUntil('2026-03-10T09:00+03:00')
    expect(inbox(phone)).toEqual([])
    await liveUntil('2026-03-12T08:00+03:00')

    expect(inbox(phone)).toEqual([
      'Ford: we missed Asha. You are welcome on Tue 17 Mar at Ford. Please bring the card. To stop: STOP',
    ])
  })

  test('each enrolled phone has its consent with source and date', async () => {
    await enrolForTheTenth()

    expect(
      await database.db.phoneLine.count({ where: { OR: [{ consentSource: null }, { consentAt: null }] } }),
    ).toBe(0)
  })
})

describe('a visit that was missed', () => {
  test('is followed by a recall after two days and another after nine, each naming the next session', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service, MONTHLY)
    const child = await district.enrol({ birthDate: '2026-01-20' })

    await liveThrough('2026-04-01T12:00+03:00')

    const texts = arrivals(phoneOf(child)).slice(2)
    expect(texts.map(({ at, body }) => `${at.toISOString()} ${body}`)).toEqual([
      '2026-03-12T05:00:00.000Z Ford: we missed Asha. You are welcome on Tue 14 Apr at Ford. Please bring the card. To stop: STOP',
      '2026-03-19T05:00:00.000Z Ford: vaccines are waiting for Asha on Tue 14 Apr at Ford. Please come, or ask us. To stop: STOP',
    ])
  })

  test('was kept after all when its doses are reported late, and the recalls are withdrawn', async () => {
    const { district, child, phone } = await enrolForTheTenth()
    await liveUntil('2026-03-11T20:00+03:00')
    expect((await district.child(child.id)).appointment?.sessionOn).toBe('2026-03-17')

    await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL yesterday`)
    await liveUntil('2026-03-20T08:00+03:00')

    const { body } = await call('GET', `/v1/children/${child.id}/appointments`, { token: district.token })
    expect(body).toMatchObject({
      appointments: [
        { sessionOn: '2026-04-07', status: 'planned' },
        { sessionOn: '2026-03-17', status: 'kept', reason: 'dose-given' },
        { sessionOn: '2026-03-10', status: 'kept', reason: 'reported-late' },
      ],
    })
    expect(inbox(phone).filter((text) => /missed|waiting/.test(text))).toEqual([])
    expect(await remindersOf(child)).toEqual(
      expect.arrayContaining(['missed-1 withdrawn reported-late', 'missed-2 withdrawn reported-late']),
    )
  })

  test('brings no recall when its doses were given elsewhere before it and reported after it', async () => {
    const { district, child, phone } = await enrolForTheTenth()
    await liveUntil('2026-03-11T08:00+03:00')
    const body = {
      vaccines: ['BCG', 'BOPV', 'PENTA', 'PCV', 'ROTA'],
      givenOn: '2026-03-06',
      isElsewhere: true,
    }
    await call('POST', `/v1/children/${child.id}/doses`, { token: district.token, body })

    await liveUntil('2026-03-12T08:00+03:00')
    await liveUntil('2026-03-19T08:00+03:00')

    expect(inbox(phone).filter((text) => /missed|waiting/.test(text))).toEqual([])
  })
})

describe('at the second of sending nothing leaves', () => {
  test('when the dose was recorded between queueing and sending', async () => {
    const { district, child, phone } = await enrolForTheTenth()
    await liveUntil('2026-03-07T08:00+03:00')
    clock.moveTo('2026-03-09T08:00+03:00')
    expect(await isAnythingDue()).toBe(true)

    await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
    await sendAll()

    expect(inbox(phone).filter((text) => text.includes('we expect'))).toEqual([])
    expect(await remindersOf(child)).toContain('eve withdrawn dose-given')
  })

  test.each([
    ['died', 'not-followed'],
    ['moved', 'not-followed'],
    ['refused', 'not-followed'],
    ['lost', 'not-followed'],
    ['away', 'not-followed'],
  ])('when it was learned between queueing and sending that the child is %s', async (status, reason) => {
    const { district, child, phone } = await enrolForTheTenth()
    clock.moveTo('2026-03-09T08:00+03:00')
    expect(await isAnythingDue()).toBe(true)

    await call('POST', `/v1/children/${child.id}/status`, {
      token: district.token,
      body: { status, on: '2026-03-09' },
    })
    await sendAll()

    expect(inbox(phone)).toEqual([])
    expect(await remindersOf(child)).toContain(`eve withdrawn ${reason}`)
  })

  test('when the family sent STOP between queueing and sending', async () => {
    const { child, phone } = await enrolForTheTenth()
    clock.moveTo('2026-03-09T08:00+03:00')
    expect(await isAnythingDue()).toBe(true)

    await ask(phone, 'STOP')
    await sendAll()

    expect(inbox(phone)).toHaveLength(1)
    expect(await remindersOf(child)).toContain('eve withdrawn stopped')
  })

  test('when the family chose between queueing and sending not to be reminded', async () => {
    const { child, phone } = await enrolForTheTenth()
    clock.moveTo('2026-03-09T08:00+03:00')
    expect(await isAnythingDue()).toBe(true)

    await database.db.phoneLine.updateMany({ where: { number: phone }, data: { preference: 'recall-only' } })
    await sendAll()

    expect(inbox(phone)).toEqual([])
    expect(await remindersOf(child)).toContain('eve withdrawn not-wanted')
  })

  test('in the old language when the family chose another one between queueing and sending', async () => {
    const { phone } = await enrolForTheTenth()
    clock.moveTo('2026-03-09T08:00+03:00')
    expect(await isAnythingDue()).toBe(true)

    await ask(phone, 'FRENCH')
    await sendAll()

    expect(inbox(phone).at(-1)).toMatch(/^Ford: vaccins le .* nous attendons Asha/)
  })

  test('when the family has another phone by then, and the text goes to that one', async () => {
    const { district, child, phone } = await enrolForTheTenth()
    const newPhone = district.newPhone()
    clock.moveTo('2026-03-08T08:00+03:00')

    await call('PUT', `/v1/children/${child.id}/phone`, {
      token: district.token,
      body: { caregiver: { phone: newPhone } },
    })
    await liveUntil('2026-03-09T08:00+03:00')

    expect(inbox(phone)).toEqual([])
    expect(inbox(newPhone)).toEqual([
      'Ford: we expect Asha on Tue 10 Mar at Ford for vaccines. Please bring the card. To stop: STOP',
    ])
  })

  test('when the family has another phone after a missed visit, and the recall goes to that one', async () => {
    const { district, child, phone } = await enrolForTheTenth()
    const newPhone = district.newPhone()
    await liveThrough('2026-03-11T09:00+03:00')

    await call('PUT', `/v1/children/${child.id}/phone`, {
      token: district.token,
      body: { caregiver: { phone: newPhone } },
    })
    await liveThrough('2026-03-12T12:00+03:00')

    expect(inbox(phone).filter((text) => text.includes('missed'))).toEqual([])
    expect(inbox(newPhone).filter((text) => text.includes('missed'))).toHaveLength(1)
  })

  test('when the hours of the district are over: the text waits for the morning', async () => {
    const { district, child, phone } = await enrolForTheTenth()
    clock.moveTo('2026-03-10T19:30+03:00')
    await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)

    await liveUntil('2026-03-10T23:00+03:00')
    expect(inbox(phone)).toEqual([])
    await liveUntil('2026-03-11T08:00+03:00')

    expect(inbox(phone)).toEqual([expect.stringMatching(/^Ford, after the vaccines of Asha: /)])
  })

  test('when it is too late to be of use: a reminder lapses with a reason', async () => {
    const { child, phone } = await enrolForTheTenth()

    // As after days without power.
    await liveUntil('2026-03-10T12:00+03:00')

    expect(inbox(phone)).toEqual([])
    expect((await remindersOf(child)).slice(0, 2)).toEqual(['ahead lapsed too-late', 'eve lapsed too-late'])
  })

  test('on a Sunday: what was due then left on the day before', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service, {
      posts: [{ name: 'Ford', sessions: ['FREQ=WEEKLY;BYDAY=MO'] }],
    })
    const child = await district.enrol({ birthDate: '2026-01-20' })

    await liveUntil('2026-03-07T07:59+03:00')
    await liveUntil('2026-03-07T08:00+03:00')
    await liveUntil('2026-03-08T12:00+03:00')

    expect(arrivals(phoneOf(child)).map(({ at }) => at.toISOString())).toEqual(['2026-03-07T05:00:00.000Z'])
  })
})

describe('each reminder is sent once', () => {
  test('by two workers that race for it', async () => {
    const { phone } = await enrolForTheTenth()
    clock.moveTo('2026-03-09T08:00+03:00')
    expect(await isAnythingDue()).toBe(true)

    await Promise.all([sendAll(), sendAll(), sendAll()])

    expect(inbox(phone)).toHaveLength(1)
  })

  test('when the network refuses it for a while, and the waiting is no try of its own', async () => {
    const { child, phone } = await enrolForTheTenth()
    handset.treat(({ to }) =>
      to === phone ? { answer: { kind: 'try-later', reason: 'busy', retryAfterMs: 60_000 } } : {},
    )
    await liveUntil('2026-03-09T08:00+03:00')
    expect(inbox(phone)).toEqual([])

    handset.treat(() => ({}))
    await liveUntil('2026-03-09T08:01+03:00')
    await liveUntil('2026-03-09T08:05+03:00')

    expect(inbox(phone)).toHaveLength(1)
    expect((await remindersOf(child)).filter((line) => line.startsWith('eve'))).toEqual(['eve delivered'])
  })

  test('not again when the network refuses the number for good', async () => {
    const { child, phone } = await enrolForTheTenth()
    handset.treat(({ to }) =>
      to === phone ? { answer: { kind: 'rejected', fault: 'number', reason: 'no such phone' } } : {},
    )

    await liveUntil('2026-03-09T08:00+03:00')
    handset.treat(() => ({}))
    await liveUntil('2026-03-09T08:05+03:00')

    expect(inbox(phone)).toEqual([])
    expect(await remindersOf(child)).toContain('eve undelivered number: no such phone')
  })

  test('when the child is planned again and again', async () => {
    const { child, phone } = await enrolForTheTenth()
    for (let time = 0; time < 3; time += 1) {
      await database.transaction((tx) =>
        recordDoses(tx, deps, {
          childId: child.id,
          vaccines: [{ vaccine: 'HEPB', typedNumber: null }],
          givenOn: mustParseDay('2026-01-20'),
          by: 'a test',
          via: 'api',
          postId: null,
          textInId: null,
          sentAt: null,
          delivery: 'routine',
          isElsewhere: true,
          vial: null,
        }),
      )
      await liveUntil('2026-03-09T08:00+03:00')
    }

    expect(inbox(phone)).toHaveLength(1)
  })
})
