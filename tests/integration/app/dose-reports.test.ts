import { forecastShape } from '../../../src/http/shapes.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, handset, ask, call, inbox, liveUntil, liveThrough } = service
beforeEach(service.empty)

/** A child expected on Tuesday 10 March 2026, with the clock at eleven on that day. */
async function atTheSession(): Promise<{ district: TestDistrict; child: ChildJson }> {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
  await liveUntil('2026-03-10T11:00+03:00')
  return { district, child }
}

const dosesOf = (child: ChildJson) =>
  database.db.dose.findMany({
    where: { childId: child.id },
    orderBy: [{ givenOn: 'asc' }, { vaccine: 'asc' }],
  })

async function livingVaccines(child: ChildJson): Promise<string[]> {
  return (await dosesOf(child)).filter((dose) => dose.voidedAt === null).map((dose) => dose.vaccine)
}

const GIVEN = ['BCG', 'BOPV', 'PCV', 'PENTA', 'ROTA']

describe('a report of doses', () => {
  test('is confirmed with the child’s card and name, the doses as counted, and the next visit', async () => {
    const { district, child } = await atTheSession()

    const reply = await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG OPV PENTA`)

    const next = (await district.child(child.id)).appointment
    expect(reply).toMatch(
      / Asha: BCG 1, OPV 1, PENTA 1 recorded for Tue 10 Mar\. Next visit: Tue 17 Mar, Ford\.$/,
    )
    expect(next).toMatchObject({ sessionOn: '2026-03-17', doses: [{ series: 'PCV' }, { series: 'ROTA' }] })
  })

  test('tells the next date of the forecast, at once', async () => {
    const { district, child } = await atTheSession()

    const reply = await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)

    const { body } = await call('GET', `/v1/children/${child.id}/forecast`, { token: district.token })
    // Four weeks after the first dose is a Tuesday, so the session is on the due day itself.
    expect(body).toMatchObject({
      next: expect.arrayContaining([
        expect.objectContaining({ series: 'PENTA', dose: 2, due: '2026-04-07' }),
      ]) as [],
    })
    expect(reply).toMatch(/Next visit: Tue 7 Apr, Ford/)
  })

  test('keeps who gave it, where, by which text, and when it was given, sent and stored', async () => {
    const { district, child } = await atTheSession()
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG yesterday`)

    const [dose] = await dosesOf(child)
    const text = await database.db.textIn.findFirst({ where: { fromNumber: district.vaccinator } })
    const person = await database.db.person.findUnique({ where: { phone: district.vaccinator } })
    expect(dose).toMatchObject({
      recordedBy: person?.id,
      recordedVia: 'sms',
      postId: person?.postId,
      textInId: text?.id,
      givenOn: new Date('2026-03-09'),
      sentAt: text?.receivedAt,
      recordedAt: clock.now(),
    })
  })

  test('of a vaccine outside the schedule is kept and counts nowhere', async () => {
    const { district, child } = await atTheSession()
    const before = (await district.child(child.id)).appointment

    await ask(district.vaccinator, `GAVE ${child.cardNumber} HPV`)

    expect(await livingVaccines(child)).toEqual(['HPV'])
    expect((await district.child(child.id)).appointment?.doses).toEqual(before?.doses)
  })

  test('that names a wrong dose number is recorded by history, and the reply says so', async () => {
    const { district, child } = await atTheSession()

    const reply = await ask(district.vaccinator, `GAVE ${child.cardNumber} PENTA3`)

    expect(reply).toMatch(/PENTA 1 recorded/)
    expect(reply).toMatch(/You wrote PENTA 3; by the record it is PENTA 1/)
  })

  test('given too early is kept, does not count, and the reply says why', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-02-20' })

    const reply = await ask(district.vaccinator, `GAVE ${child.cardNumber} PENTA`)

    expect(reply).toMatch(/PENTA is recorded but does not count: given below the lowest age/)
    expect(await database.db.doseVerdict.findMany({ where: { childId: child.id } })).toEqual([
      expect.objectContaining({ series: 'PENTA', isValid: false, reason: 'too-young' }),
    ])
  })

  test('of several children in one text is done whole or not at all', async () => {
    const { district, child } = await atTheSession()
    const other = await district.enrol({ name: 'Zawadi Hill', birthDate: '2026-01-10' })

    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG\nGAVE 12345678 BCG`)
    expect(await livingVaccines(child)).toEqual([])
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG\nGAVE ${other.cardNumber} BCG`)

    expect(await livingVaccines(child)).toEqual(['BCG'])
    expect(await livingVaccines(other)).toEqual(['BCG'])
  })

  test('that fails half-way leaves nothing behind', async () => {
    const { district, child } = await atTheSession()
    const other = await newDistrict(service)
    const stranger = await other.enrol({ birthDate: '2026-01-15' })

    // The second card belongs to another district, which is learned only after the first was recorded.
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG\nGAVE ${stranger.cardNumber} BCG`)

    expect(await livingVaccines(child)).toEqual([])
    expect(await livingVaccines(stranger)).toEqual([])
    expect((await district.child(child.id)).appointment?.sessionOn).toBe('2026-03-10')
  })
})

describe('the same report again', () => {
  test('with the gateway’s key changes nothing and gets no second reply', async () => {
    const { district, child } = await atTheSession()
    const text = `GAVE ${child.cardNumber} ALL`
    await handset.text(district.vaccinator, text, 'the-same')
    await service.whenIdle()

    await handset.text(district.vaccinator, text, 'the-same')
    await service.whenIdle()

    expect(inbox(district.vaccinator)).toHaveLength(1)
    expect(await livingVaccines(child)).toEqual(GIVEN)
  })

  test('in the same words gets the same reply and changes nothing', async () => {
    const { district, child } = await atTheSession()
    const first = await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
    const rows = await dosesOf(child)

    const second = await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)

    expect(second).toBe(first)
    expect(await dosesOf(child)).toEqual(rows)
  })

  test('in other words changes nothing and is told so', async () => {
    const { district, child } = await atTheSession()
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG OPV`)

    const reply = await ask(district.vaccinator, `gave ${child.cardNumber} opv, bcg`)

    expect(reply).toMatch(/was already recorded\. Nothing was changed/)
    expect(await livingVaccines(child)).toEqual(['BCG', 'BOPV'])
  })

  test('by a second vaccinator changes nothing', async () => {
    const { district, child } = await atTheSession()
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG`)
    const body = { vaccines: ['BCG'], givenOn: '2026-03-10' }

    await call('POST', `/v1/children/${child.id}/doses`, { token: district.token, body })

    expect(await livingVaccines(child)).toEqual(['BCG'])
  })
})

describe('UNDO', () => {
  test('takes back the last report; the record stays readable with who, when and why', async () => {
    const { district, child } = await atTheSession()
    const before = (await district.child(child.id)).appointment
    await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)

    const reply = await ask(district.vaccinator, 'UNDO')

    expect(reply).toMatch(/BCG/)
    expect(await livingVaccines(child)).toEqual([])
    const person = await database.db.person.findUnique({ where: { phone: district.vaccinator } })
    expect((await dosesOf(child))[0]).toMatchObject({
      voidedBy: person?.id,
      voidReason: 'undo',
      voidedAt: clock.now(),
    })
    const after = (await district.child(child.id)).appointment
    expect(after).toMatchObject({ sessionOn: before?.sessionOn, doses: before?.doses })
  })

  test('before the advice has left withdraws it', async () => {
    const { district, child } = await atTheSession()
    const phone = phoneOf(child)
    const before = inbox(phone).length
    await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
    await ask(district.vaccinator, 'UNDO')

    await liveUntil('2026-03-10T12:00+03:00')

    expect(inbox(phone)).toHaveLength(before)
  })

  test('within 24 hours takes back, later it needs a manager', async () => {
    const { district, child } = await atTheSession()
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG`)
    clock.moveTo('2026-03-11T11:00:01+03:00')

    const late = await ask(district.vaccinator, 'UNDO')
    expect(late).toMatch(/manager/)
    expect(await livingVaccines(child)).toEqual(['BCG'])

    clock.moveTo('2026-03-11T10:59:59+03:00')
    await ask(district.vaccinator, 'UNDO please')
    expect(await livingVaccines(child)).toEqual([])
  })

  test('of an enrolment closes the child as entered in error', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const phone = district.newPhone()
    await ask(district.vaccinator, `NEW Mbari 20/01/2026 F ${phone} Asha Temba`)

    await ask(district.vaccinator, 'UNDO')
    await liveThrough('2026-03-20T12:00+03:00')

    const child = await database.db.child.findFirst({ where: { districtId: district.id } })
    expect(child).toMatchObject({ status: 'entered-in-error', statusReason: 'undo' })
    expect(inbox(phone)).toEqual([])
  })

  test('twice, or with nothing done, has nothing to take back', async () => {
    const { district, child } = await atTheSession()
    expect(await ask(district.vaccinator, 'UNDO')).toMatch(/nothing/i)
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG`)
    await ask(district.vaccinator, 'UNDO')

    expect(await ask(district.vaccinator, 'UNDO')).toMatch(/nothing/i)
  })

  test('does not take back what another vaccinator reported', async () => {
    const { district, child } = await atTheSession()
    const other = district.newPhone()
    const people = [
      ...(district.file.people ?? []),
      { name: 'Otto Lake', role: 'vaccinator' as const, phone: other, post: 'Ford' },
    ]
    await district.load({ ...district.file, people })
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG`)

    await ask(other, 'UNDO')

    expect(await livingVaccines(child)).toEqual(['BCG'])
  })
})

test('a paper month typed in later gives the same forecast as reports by text on the days themselves', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const live = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
  const typed = await district.enrol({ name: 'Zawadi Hill', birthDate: '2026-01-20' })
  const given = [
    ['2026-03-10', ['BCG', 'BOPV', 'PENTA']],
    ['2026-04-07', ['BOPV', 'PENTA', 'PCV']],
    ['2026-05-12', ['PENTA', 'ROTA']],
  ] as const

  for (const [day, vaccines] of given) {
    await liveUntil(`${day}T11:00+03:00`)
    await ask(district.vaccinator, `GAVE ${live.cardNumber} ${vaccines.join(' ')}`)
  }
  await liveUntil('2026-05-31T10:00+03:00')
  for (const [givenOn, vaccines] of given) {
    const body = { vaccines, givenOn }
    await call('POST', `/v1/children/${typed.id}/doses`, { token: district.token, body })
  }

  const outlook = async (child: ChildJson) => {
    const { body } = await call('GET', `/v1/children/${child.id}/forecast`, { token: district.token })
    const { given, next, complete } = forecastShape.parse(body)
    const inOrder = given.toSorted((one, other) =>
      `${one.date}${one.vaccine}`.localeCompare(`${other.date}${other.vaccine}`),
    )
    return { given: inOrder, next, complete }
  }
  expect(await outlook(typed)).toEqual(await outlook(live))
})
