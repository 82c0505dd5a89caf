import { runningService } from '../../support/running-service.ts'
import { newDistrict, newPhone, phoneOf } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, ask, inbox, liveUntil, liveThrough } = service
beforeEach(service.empty)

interface Family {
  readonly district: TestDistrict
  readonly child: ChildJson
  readonly phone: string
}

/** A family of Wednesday 4 March 2026 whose child is expected on Tuesday 10 March. */
async function aFamily(wish: { readonly language?: string } = {}): Promise<Family> {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20', ...wish })
  return { district, child, phone: phoneOf(child) }
}

const problemOf = async (phone: string): Promise<string | null | undefined> =>
  (await database.db.textIn.findFirst({ where: { fromNumber: phone }, orderBy: { receivedAt: 'desc' } }))
    ?.problem

describe('a parent asks for the next date', () => {
  test('WHEN names the day and place of the next visit', async () => {
    const { phone } = await aFamily()

    expect(await ask(phone, 'WHEN')).toBe(
      'Next vaccines for Asha: Tue 10 Mar at Ford. Please bring the card.',
    )
  })

  test('WHEN names each child where visits are on different days', async () => {
    const { phone, district } = await aFamily()
    const juma = await district.enrol({ phone, name: 'Juma Temba', sex: 'male', birthDate: '2026-02-23' })
    const birthDoses = { vaccines: ['BCG', 'HEPB'], givenOn: '2026-02-23', isElsewhere: true }
    await service.call('POST', `/v1/children/${juma.id}/doses`, { token: district.token, body: birthDoses })

    const reply = await ask(phone, 'when?')

    expect(reply).toMatch(/Asha: Tue 10 Mar at Ford/)
    expect(reply).toMatch(/Juma: Tue 7 Apr at Ford/)
  })

  test('WHEN says that nothing is planned for a child who is no longer followed', async () => {
    const { phone, district, child } = await aFamily()
    const body = { status: 'moved', on: '2026-03-04' }
    await service.call('POST', `/v1/children/${child.id}/status`, { token: district.token, body })

    expect(await ask(phone, 'WHEN')).toMatch(/^No vaccine visit is planned now/)
  })

  test('an unknown phone learns nothing, not even that a child exists', async () => {
    const { child } = await aFamily()
    const stranger = newPhone()

    const when = await ask(stranger, 'WHEN')
    const card = await ask(stranger, `CARD ${child.cardNumber}`)

    expect(card).toBe(when)
    expect(card).not.toMatch(/Asha|Temba|Mar|Ford/)
    expect(await problemOf(stranger)).toBe('unknown-sender')
  })

  test('a parent may not do what a vaccinator may', async () => {
    const { phone, child } = await aFamily()

    await ask(phone, `GAVE ${child.cardNumber} ALL`)

    expect(await database.db.dose.count({ where: { childId: child.id } })).toBe(0)
  })
})

describe('a parent asks for a later day', () => {
  test('LATER moves the visit to the next session, and the texts move along', async () => {
    const { phone, district, child } = await aFamily()

    expect(await ask(phone, 'LATER')).toMatch(/^The vaccine day of Asha is now Tue 17 Mar at Ford/)
    await liveThrough('2026-03-17T09:00+03:00')

    expect((await district.child(child.id)).appointment).toMatchObject({ sessionOn: '2026-03-17' })
    expect(inbox(phone).filter((text) => /due for|we expect|missed/.test(text))).toEqual([
      expect.stringMatching(/Tue 17 Mar/),
      expect.stringMatching(/Tue 17 Mar/),
    ])
  })

  test('LATER is kept when the child is planned again, until the visit is over', async () => {
    const { phone, district, child } = await aFamily()
    await ask(phone, 'LATER')
    const body = { birthWeightGrams: 3100 }
    await service.call('PATCH', `/v1/children/${child.id}`, { token: district.token, body })

    expect((await district.child(child.id)).appointment?.sessionOn).toBe('2026-03-17')
    await liveUntil('2026-03-17T09:00+03:00')
    await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)

    // Two weeks after PENTA 2 is due FIPV is; one trip serves both.
    expect((await district.child(child.id)).appointment?.sessionOn).toBe('2026-04-28')
  })

  test('LATER is refused where a dose would pass its last day', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    // Sessions so far apart that the first dose of BCG or the birth dose could not wait for the second.
    const district = await newDistrict(service, {
      district: { schedule: 'fractional-6-10-14-weeks' },
      posts: [{ name: 'Ford', sessions: ['RDATE;VALUE=DATE:20260310,20270309'] }],
    })
    const child = await district.enrol({ birthDate: '2025-05-20' })
    const phone = phoneOf(child)

    expect(await ask(phone, 'LATER')).toMatch(/too late/)
    expect((await district.child(child.id)).appointment?.sessionOn).toBe('2026-03-10')
  })
})

describe('a parent of two asks for a later day', () => {
  /** Sessions on 10 March and a year later; only the older child has a dose that cannot wait. */
  async function twoChildren(second: string) {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service, {
      district: { schedule: 'fractional-6-10-14-weeks' },
      posts: [{ name: 'Ford', sessions: ['RDATE;VALUE=DATE:20260310,20260317,20270309'] }],
    })
    const one = await district.enrol({ birthDate: '2026-01-20' })
    const phone = phoneOf(one)
    const other = await district.enrol({ birthDate: second, phone, name: 'Bahati Temba' })
    return { district, one, other, phone }
  }
  const sessionOf = async (district: TestDistrict, { id }: ChildJson) =>
    (await district.child(id)).appointment?.sessionOn

  test('LATER moves both when both can wait', async () => {
    const { district, one, other, phone } = await twoChildren('2026-01-20')

    expect(await ask(phone, 'LATER')).toMatch(/^The vaccine day of 2 children is now Tue 17 Mar/)
    expect([await sessionOf(district, one), await sessionOf(district, other)]).toEqual([
      '2026-03-17',
      '2026-03-17',
    ])
  })

  test('LATER moves neither when one of them cannot wait, and names that one', async () => {
    // BCG may be given up to the first birthday: on 17 March this child is a year old.
    const { district, one, other, phone } = await twoChildren('2025-03-12')

    expect(await ask(phone, 'LATER')).toMatch(/too late for Bahati/)
    expect([await sessionOf(district, one), await sessionOf(district, other)]).toEqual([
      '2026-03-10',
      '2026-03-10',
    ])
  })
})

describe('a parent stops and starts the texts', () => {
  test('STOP ends every reminder, and questions are still answered', async () => {
    const { phone, district } = await aFamily()

    expect(await ask(phone, 'STOP')).toMatch(/no more reminders/)
    await liveThrough('2026-04-20T12:00+03:00')

    expect(inbox(phone)).toHaveLength(1)
    expect(await ask(phone, 'WHEN')).toMatch(/^Next vaccines for Asha/)
    expect(district.id).not.toBe('')
  })

  test('START brings back the reminders of the visit that stands, and none that went before', async () => {
    const { phone } = await aFamily()
    await liveUntil('2026-03-07T08:00+03:00')
    await ask(phone, 'STOP')

    await ask(phone, 'START')
    await liveThrough('2026-03-10T09:00+03:00')

    expect(inbox(phone).filter((text) => /due for|we expect/.test(text))).toEqual([
      expect.stringMatching(/is due for vaccines on Tue 10 Mar/),
      expect.stringMatching(/we expect Asha on Tue 10 Mar/),
    ])
  })

  test('STOP and START keep who agreed, how and when', async () => {
    const { phone, district } = await aFamily()
    const line = () =>
      database.db.phoneLine.findFirstOrThrow({ where: { number: phone, districtId: district.id } })
    clock.moveTo('2026-03-05T10:00+03:00')
    await ask(phone, 'STOP')

    expect(await line()).toMatchObject({
      consent: 'withdrawn',
      consentSource: 'sms-stop',
      consentAt: clock.now(),
      stoppedAt: clock.now(),
    })
    clock.moveTo('2026-03-06T10:00+03:00')
    await ask(phone, 'START')
    expect(await line()).toMatchObject({
      consent: 'given',
      consentSource: 'sms-start',
      consentAt: clock.now(),
      stoppedAt: null,
    })
  })

  test('STOP counts for the number, also where two districts write to it', async () => {
    const { phone } = await aFamily()
    const neighbour = await newDistrict(service)
    await neighbour.enrol({ phone, name: 'Juma Temba', sex: 'male', birthDate: '2026-01-20' })

    await ask(phone, 'STOP')
    await liveThrough('2026-03-20T12:00+03:00')
    expect(inbox(phone)).toHaveLength(1)
    clock.moveTo('2026-03-20T13:00+03:00')
    await ask(phone, 'START')
    await liveThrough('2026-03-24T09:00+03:00')

    expect(inbox(phone).slice(2).length).toBeGreaterThanOrEqual(2)
  })
})

describe('a parent chooses a language', () => {
  test('its name is answered in it, and so are reminders and questions from then on', async () => {
    const { phone } = await aFamily()

    expect(await ask(phone, 'Français')).toMatch(/fran[cç]ais/i)
    await liveUntil('2026-03-09T08:00+03:00')

    expect(inbox(phone).at(-1)).toMatch(/mar\.? 10 mars|10 mars/i)
    expect(await ask(phone, 'QUAND')).toMatch(/10 mars/)
    expect((await database.db.phoneLine.findFirst({ where: { number: phone } }))?.language).toBe('fr')
  })

  test('a family enrolled in a language is written to in it', async () => {
    const { phone } = await aFamily({ language: 'sw' })

    await liveUntil('2026-03-09T08:00+03:00')

    expect(inbox(phone).filter((text) => /Asha.*chanjo/.test(text))).not.toEqual([])
  })
})

test('HELP tells a parent what can be sent', async () => {
  const { phone } = await aFamily()

  expect(await ask(phone, 'help')).toMatch(/WHEN.*LATER.*STOP.*START/s)
})
