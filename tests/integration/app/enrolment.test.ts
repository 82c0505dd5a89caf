import { z } from 'zod'
import { checkCardNumber } from '../../../src/core/card-number.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { clock, database, call, ask, liveThrough } = service
beforeEach(service.empty)

const childrenOf = (district: TestDistrict) =>
  database.db.child.findMany({ where: { districtId: district.id }, orderBy: { createdAt: 'asc' } })

const problemOf = async (phone: string): Promise<string | null | undefined> =>
  (await database.db.textIn.findFirst({ where: { fromNumber: phone }, orderBy: { id: 'desc' } }))?.problem

beforeEach(() => {
  clock.moveTo('2026-03-04T10:00+03:00')
})

describe('enrolment by text', () => {
  test('puts the child on the register; the reply repeats its name and gives the number for the card', async () => {
    const district = await newDistrict(service)
    const phone = district.newPhone()

    const reply = await ask(district.vaccinator, `NEW Mbari 20/01/2026 F ${phone} Asha Temba`)

    const [child] = await childrenOf(district)
    expect(child).toMatchObject({
      name: 'Asha Temba',
      sex: 'female',
      birthOn: new Date('2026-01-20'),
      villageId: district.villageId('Mbari'),
      enrolledVia: 'sms',
    })
    const card = child?.cardNumber ?? ''
    expect(reply).toContain('Asha')
    expect(reply).toContain(`${card.slice(0, 4)} ${card.slice(4)}`)
    expect(reply).toContain('Tue 10 Mar, Ford')
    expect(checkCardNumber(card).kind).toBe('card')
  })

  test('of the same child a second time opens no record and offers the first', async () => {
    const district = await newDistrict(service)
    const phone = district.newPhone()
    await ask(district.vaccinator, `NEW Mbari 20/01/2026 F ${phone} Asha Temba`)
    const [first] = await childrenOf(district)

    const reply = await ask(district.vaccinator, `NEW Mbari 20/01/2026 F ${phone} Asha Tembah`)

    expect(await childrenOf(district)).toHaveLength(1)
    expect(await problemOf(district.vaccinator)).toBe('child-may-exist')
    expect(reply.replaceAll(' ', '')).toContain(first?.cardNumber ?? '?')
  })

  test('of a village that is not on the list stores nothing and says so', async () => {
    const district = await newDistrict(service)

    const reply = await ask(district.vaccinator, 'NEW Nowhere 20/01/2026 F 07700900123 Asha Temba')

    expect(await childrenOf(district)).toEqual([])
    expect(reply).toMatch(/village/i)
  })

  test.each([
    ['a birth date in the future', 'NEW Mbari 20/01/2027 F 07700900123 Asha'],
    ['no birth date', 'NEW Mbari F 07700900123 Asha'],
    ['no sex', 'NEW Mbari 20/01/2026 07700900123 Asha'],
    ['no phone and no word that there is none', 'NEW Mbari 20/01/2026 F Asha'],
    ['an impossible phone', 'NEW Mbari 20/01/2026 F 0770 Asha'],
    ['no name', 'NEW Mbari 20/01/2026 F 07700900123'],
  ])('with %s is refused, and the reply says what to send', async (_what, text) => {
    const district = await newDistrict(service)

    const reply = await ask(district.vaccinator, text)

    expect(await childrenOf(district)).toEqual([])
    expect(await problemOf(district.vaccinator)).toMatch(/-/)
    expect(reply.length).toBeGreaterThan(20)
  })
})

describe('enrolment over the API', () => {
  test('of the same child a second time is refused with the first record, until someone says it is another', async () => {
    const district = await newDistrict(service)
    const phone = district.newPhone()
    const child = await district.enrol({ phone })

    const again = await district.tryToEnrol({ phone, name: 'Asha Temba' })

    expect(again).toMatchObject({
      status: 409,
      body: {
        code: 'child-may-exist',
        candidates: [{ cardNumber: child.cardNumber, name: 'Asha Temba', birthDate: '2026-01-20' }],
      },
    })
    expect(await district.tryToEnrol({ phone, isKnownToBeNew: true })).toMatchObject({ status: 201 })
  })

  test('keeps twins apart: one phone, one birth date, two names', async () => {
    const district = await newDistrict(service)
    const phone = district.newPhone()

    await district.enrol({ phone, name: 'Asha Temba' })
    await district.enrol({ phone, name: 'Zawadi Temba' })

    expect(await childrenOf(district)).toHaveLength(2)
  })

  test.each(["O'Neill Þóra-Łucja", 'አስቴር', 'आशा', 'Nguyễn Thị Ái', 'Madonna'])(
    'accepts the name %s as it is written',
    async (name) => {
      const district = await newDistrict(service)

      expect((await district.enrol({ name })).name).toBe(name)
    },
  )

  test.each(['villageId', 'name', 'sex', 'birthDate'])('without %s is refused', async (field) => {
    const district = await newDistrict(service)
    const whole = {
      villageId: district.villageId('Mbari'),
      name: 'Asha Temba',
      sex: 'female',
      birthDate: '2026-01-20',
    }

    const reply = await call('POST', '/v1/children', {
      token: district.token,
      body: { ...whole, [field]: undefined },
    })

    expect(reply).toMatchObject({ status: 400, body: { code: 'input-invalid' } })
    expect(reply.body).toMatchObject({ detail: expect.stringContaining(field) as string })
  })

  test('without a phone enrols a child that reaches its health worker’s list', async () => {
    const district = await newDistrict(service)
    await district.enrol({ phone: null, name: 'Zawadi Hill' })

    expect(await ask(district.vaccinator, 'DUE Mbari')).toMatch(/Zawadi/)
  })

  test('with an estimated birth date says so, and the exact date re-plans the child', async () => {
    const district = await newDistrict(service)
    const body = {
      villageId: district.villageId('Mbari'),
      name: 'Asha Temba',
      sex: null,
      birthDate: '2026-02-01',
      isBirthEstimated: true,
    }
    const { body: made } = await call('POST', '/v1/children', { token: district.token, body })
    const { id } = z.object({ id: z.string() }).parse(made)
    const outlook = () => call('GET', `/v1/children/${id}/forecast`, { token: district.token })
    const dueOf = async () =>
      z
        .object({ next: z.array(z.object({ series: z.string(), due: z.string() })) })
        .parse((await outlook()).body)
        .next.find((row) => row.series === 'PENTA')?.due
    expect(await dueOf()).toBe('2026-03-15')

    await call('PATCH', `/v1/children/${id}`, {
      token: district.token,
      body: { birthDate: '2026-02-10', isBirthEstimated: false },
    })

    expect(await dueOf()).toBe('2026-03-24')
  })
})

describe('card numbers', () => {
  test('made for many children at once never collide, and each has its check digit', async () => {
    const district = await newDistrict(service)
    const names = Array.from(
      { length: 20 },
      (_, index) => `Child ${'ABCDEFGHIJKLMNOPQRST'.charAt(index).repeat(9)}`,
    )

    const children = await Promise.all(names.map((name) => district.enrol({ name, phone: null })))

    const cards = children.map((child) => child.cardNumber)
    expect(new Set(cards).size).toBe(20)
    expect(cards.filter((card) => checkCardNumber(card).kind !== 'card')).toEqual([])
  })

  test('that are taken are refused, also when two children meet on one', async () => {
    const district = await newDistrict(service)
    const body = (name: string) => ({
      villageId: district.villageId('Mbari'),
      name,
      sex: null,
      birthDate: '2026-01-20',
      cardNumber: '4821 7739',
    })
    const tryWith = (name: string) =>
      call('POST', '/v1/children', { token: district.token, body: body(name) })

    const replies = await Promise.all([tryWith('Asha Temba'), tryWith('Juma Hill'), tryWith('Otto Reed')])

    expect(replies.map((reply) => reply.status).sort()).toEqual([201, 409, 409])
    expect(await tryWith('Zawadi Lake')).toMatchObject({ status: 409, body: { code: 'card-taken' } })
  })

  test('with one wrong digit lead to no child: nothing is recorded', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol()
    const wrong = child.cardNumber.replace(/\d$/, (digit) => String((Number(digit) + 1) % 10))

    await ask(district.vaccinator, `GAVE ${wrong} BCG`)

    expect(await problemOf(district.vaccinator)).toBe('card-check-digit')
    expect(await database.db.dose.count({ where: { child: { districtId: district.id } } })).toBe(0)
  })
})

describe('what is known of a child', () => {
  test('is corrected with the old values kept, and by whom and when', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ name: 'Baby Temba' })

    const { body } = await call('PATCH', `/v1/children/${child.id}`, {
      token: district.token,
      body: { name: 'Asha Temba' },
    })

    expect(body).toMatchObject({ name: 'Asha Temba', cardNumber: child.cardNumber })
    expect(await database.db.change.findMany({ where: { subjectId: child.id, act: 'correct' } })).toEqual([
      expect.objectContaining({
        actor: 'officer',
        happenedAt: clock.now(),
        before: {
          sex: 'female',
          birthOn: expect.any(Number) as number,
          isBirthEstimated: false,
          birthWeightGrams: null,
        },
        after: { isRenamed: true },
      }),
    ])
    expect(await database.db.formerName.findMany({ where: { childId: child.id } })).toMatchObject([
      { name: 'Baby Temba', until: clock.now() },
    ])
  })

  test('is corrected by text: the reply shows before and after, and nothing is changed before YES', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ name: 'Baby Temba' })

    const shown = await ask(district.vaccinator, `NAME ${child.cardNumber} Asha Temba`)
    expect(shown).toMatch(/Baby.*Asha Temba/)
    expect((await district.child(child.id)).name).toBe('Baby Temba')
    await ask(district.vaccinator, 'YES')

    expect((await district.child(child.id)).name).toBe('Asha Temba')
    const former = await database.db.formerName.findMany({ where: { childId: child.id } })
    expect(former).toMatchObject([{ name: 'Baby Temba' }])
  })

  test.each([
    ['in the future', '2026-03-05', 'birth-in-future'],
    ['more than 18 years ago', '2001-01-01', 'birth-too-long-ago'],
    ['after a dose on record', '2026-01-22', 'dose-before-birth'],
  ])('cannot be corrected to a birth date %s', async (_what, birthDate, code) => {
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })
    await call('POST', `/v1/children/${child.id}/doses`, {
      token: district.token,
      body: { vaccines: ['BCG'], givenOn: '2026-01-21' },
    })

    const reply = await call('PATCH', `/v1/children/${child.id}`, {
      token: district.token,
      body: { birthDate },
    })

    expect(reply).toMatchObject({ status: 422, body: { code } })
    expect((await district.child(child.id)).birthDate).toBe('2026-01-20')
  })

  test('cannot be corrected to a birth after the enrolment', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-03-01' })
    clock.moveTo('2026-03-10T10:00+03:00')

    const reply = await call('PATCH', `/v1/children/${child.id}`, {
      token: district.token,
      body: { birthDate: '2026-03-08' },
    })

    expect(reply).toMatchObject({ status: 422, body: { code: 'birth-after-enrolment' } })
  })
})

describe('the status of a child', () => {
  const set = (district: TestDistrict, id: string, body: object) =>
    call('POST', `/v1/children/${id}/status`, { token: district.token, body })

  test.each(['moved', 'lost', 'refused', 'died'])(
    '%s is kept with its reason and ends its visits',
    async (status) => {
      const district = await newDistrict(service)
      const child = await district.enrol()

      const reply = await set(district, child.id, { status, on: '2026-03-04', reason: 'told by a neighbour' })

      expect(reply).toMatchObject({
        status: 200,
        body: { status, statusOn: '2026-03-04', statusReason: 'told by a neighbour', appointment: null },
      })
      expect(
        await database.db.change.findFirst({ where: { subjectId: child.id, act: 'status' } }),
      ).toMatchObject({ before: { status: 'active' }, after: { status } })
    },
  )

  test('away ends by itself on the day of return, and visits are planned again', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol()

    await set(district, child.id, { status: 'away', on: '2026-03-04', awayUntil: '2026-03-20' })
    await liveThrough('2026-03-19T12:00+03:00')
    expect(await district.child(child.id)).toMatchObject({ status: 'away', appointment: null })
    await liveThrough('2026-03-20T12:00+03:00')

    expect(await district.child(child.id)).toMatchObject({
      status: 'active',
      appointment: { sessionOn: '2026-03-24' },
    })
  })

  test('can be opened again when a lost child is found', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol()
    await set(district, child.id, { status: 'lost', on: '2026-03-04' })

    const reply = await set(district, child.id, { status: 'active', on: '2026-03-04' })

    expect(reply.body).toMatchObject({ status: 'active', appointment: { sessionOn: '2026-03-10' } })
  })

  test('is set by a health worker’s text: a death ends every text at once', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol()
    const phone = phoneOf(child)

    await ask(district.vaccinator, `VISIT ${child.cardNumber} died`)
    await liveThrough('2026-04-10T12:00+03:00')

    expect((await district.child(child.id)).status).toBe('died')
    expect(service.inbox(phone)).toEqual([])
  })
})

describe('a move', () => {
  test('to another village takes visit and texts along, and the child stands on one list', async () => {
    const district = await newDistrict(service, {
      posts: [
        { name: 'Ford', sessions: ['FREQ=WEEKLY;BYDAY=TU'] },
        { name: 'Hill', sessions: ['FREQ=WEEKLY;BYDAY=TH'] },
      ],
      villages: [
        { name: 'Mbari', post: 'Ford' },
        { name: 'Kesho', post: 'Hill' },
      ],
    })
    const child = await district.enrol({ village: 'Mbari' })

    const moved = await call('POST', `/v1/children/${child.id}/move`, {
      token: district.token,
      body: { villageId: district.villageId('Kesho') },
    })
    await liveThrough('2026-03-05T09:00+03:00')

    expect(moved.body).toMatchObject({ village: { name: 'Kesho' }, appointment: { sessionOn: '2026-03-05' } })
    expect(service.inbox(phoneOf(child))).toEqual([
      expect.stringMatching(/^Hill: we expect Asha on Thu 5 Mar at Hill/),
    ])
    const listed = async (village: string) => {
      const path = `/v1/districts/${district.id}/appointments?from=2026-03-04&to=2026-03-31&village=${district.villageId(village)}`
      const { body } = await call('GET', path, { token: district.token })
      return z.object({ expected: z.array(z.unknown()) }).parse(body).expected.length
    }
    expect([await listed('Mbari'), await listed('Kesho')]).toEqual([0, 1])
  })

  test('to another district is recorded there, and the first one sees the child no more', async () => {
    const from = await newDistrict(service)
    const to = await newDistrict(service)
    const child = await from.enrol()

    const moved = await call('POST', `/v1/children/${child.id}/move`, {
      token: await service.tokenFor('officer'),
      body: { villageId: to.villageId('Kesho') },
    })

    expect(moved.body).toMatchObject({ district: { id: to.id }, village: { name: 'Kesho' } })
    const gone = await call('GET', `/v1/children/${child.id}`, { token: from.token })
    expect(gone).toMatchObject({ status: 404 })
    expect(await ask(from.vaccinator, 'DUE')).not.toMatch(/Asha/)
    expect(await ask(to.vaccinator, 'DUE')).toMatch(/Asha/)
  })
})

describe('a child’s health worker', () => {
  test('is whoever works at the post of its village; when one leaves the next has every child, in one step', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol()
    const successor = district.newPhone()
    const people = (district.file.people ?? []).map((person) =>
      person.role === 'vaccinator' ? { ...person, name: 'Otto Lake', phone: successor } : person,
    )

    await district.load({ ...district.file, people })

    expect(await ask(successor, 'DUE')).toMatch(/Asha/)
    await ask(successor, `GAVE ${child.cardNumber} BCG`)
    expect(await database.db.dose.count({ where: { childId: child.id } })).toBe(1)
    // The one who left is a stranger now.
    await ask(district.vaccinator, `GAVE ${child.cardNumber} PENTA`)
    expect(await problemOf(district.vaccinator)).toBe('unknown-sender')
    expect(await database.db.dose.count({ where: { childId: child.id } })).toBe(1)
  })

  test('stands for every child: each has a village, each village a post', async () => {
    const district = await newDistrict(service)
    await district.enrol()

    const orphans = await database.db.$queryRaw`
      select c.id from child c
      left join village v on v.id = c.village_id
      left join health_post p on p.id = v.post_id
      where p.id is null`
    expect(orphans).toEqual([])
  })

  test('cannot be taken from another district by a file', async () => {
    const one = await newDistrict(service)
    const other = await newDistrict(service)
    const people = [{ name: 'Wanda Ford', role: 'vaccinator' as const, phone: one.vaccinator, post: 'Ford' }]

    expect(await other.load({ ...other.file, people })).toMatchObject({
      status: 409,
      body: { code: 'phone-taken' },
    })
  })

  test('stays when a file says nothing of people', async () => {
    const district = await newDistrict(service)
    await district.enrol()
    const { district: facts, posts, villages } = district.file

    await district.load({ district: facts, posts, villages })

    expect(await ask(district.vaccinator, 'DUE')).toMatch(/Asha/)
  })
})
