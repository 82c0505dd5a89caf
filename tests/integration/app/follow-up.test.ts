import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, handset, ask, deliver, inbox, liveThrough } = service
beforeEach(service.empty)

/** A child expected on Tuesday 10 March 2026. */
async function aChild(): Promise<{ district: TestDistrict; child: ChildJson }> {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  return { district, child: await district.enrol({ birthDate: '2026-01-20' }) }
}

describe('a health worker texts what became of a visit', () => {
  test.each(['moved', 'died', 'refused', 'lost'])('%s closes the child and its texts', async (outcome) => {
    const { district, child } = await aChild()

    const reply = await ask(district.vaccinator, `VISIT ${child.cardNumber} ${outcome}`)
    await liveThrough('2026-04-01T12:00+03:00')

    expect(reply).toContain('Asha')
    expect(await district.child(child.id)).toMatchObject({ status: outcome, appointment: null })
    expect(inbox(phoneOf(child))).toEqual([])
  })

  test('away until a day puts the child off till then', async () => {
    const { district, child } = await aChild()

    await ask(district.vaccinator, `VISIT ${child.cardNumber} away 20/03/2026`)
    expect((await district.child(child.id)).status).toBe('away')
    await liveThrough('2026-03-20T12:00+03:00')

    expect(await district.child(child.id)).toMatchObject({
      status: 'active',
      appointment: { sessionOn: '2026-03-24' },
    })
  })
})

describe('a dose that was not given', () => {
  test.each([
    ['refused', 'refused'],
    ['ill', 'ill'],
    ['out of stock', 'out-of-stock'],
    ['contraindicated', 'contraindicated'],
  ])('is a record with its reason: %s', async (word, reason) => {
    const { district, child } = await aChild()

    await ask(district.vaccinator, `NOTGIVEN ${child.cardNumber} PENTA ${word}`)

    const person = await database.db.person.findUnique({ where: { phone: district.vaccinator } })
    expect(await database.db.doseNotGiven.findMany({ where: { childId: child.id } })).toEqual([
      expect.objectContaining({
        vaccine: 'PENTA',
        reason,
        notedOn: new Date('2026-03-04'),
        notedBy: person?.id,
      }),
    ])
    expect(await database.db.dose.count({ where: { childId: child.id } })).toBe(0)
  })

  test('because the family refused one vaccine is asked for no more, and the others go on', async () => {
    const { district, child } = await aChild()

    await ask(district.vaccinator, `NOTGIVEN ${child.cardNumber} PENTA refused`)
    await liveThrough('2026-03-09T08:00+03:00')

    const { appointment } = await district.child(child.id)
    expect(appointment?.sessionOn).toBe('2026-03-10')
    expect(appointment?.doses.map((dose) => dose.vaccine)).toEqual(['BCG', 'BOPV', 'PCV', 'ROTA'])
    expect(inbox(phoneOf(child)).at(-1)).toMatch(/we expect Asha on Tue 10 Mar/)
  })
})

describe('what a parent writes in own words', () => {
  const OWN_WORDS = 'may my child be bathed after the injection please'

  test('is kept and put before a person, and nothing is made of it here', async () => {
    const { district, child } = await aChild()
    const phone = phoneOf(child)

    const reply = await ask(phone, OWN_WORDS)

    expect(reply).toMatch(
      /A health worker of Ford will read your text\. For fits, .* go to the health centre now/,
    )
    expect(reply).not.toMatch(/\d|dose|mg|ml/i)
    const line = await database.db.phoneLine.findFirstOrThrow({ where: { number: phone } })
    const items = await database.db.reviewItem.findMany({ where: { lineId: line.id } })
    expect(items).toEqual([
      expect.objectContaining({
        kind: 'parent-text',
        districtId: district.id,
        childId: child.id,
        closedAt: null,
        createdAt: clock.now(),
      }),
    ])
    const text = await database.db.textIn.findUnique({ where: { id: items[0]?.textInId ?? '' } })
    expect(text?.body).toBe(OWN_WORDS)
    expect((await district.child(child.id)).status).toBe('active')
  })

  test('is not taken for STOP because the word is in it', async () => {
    const { child } = await aChild()
    const phone = phoneOf(child)

    await ask(phone, 'please do not stop the medicine of my child')

    expect((await database.db.phoneLine.findFirst({ where: { number: phone } }))?.stoppedAt).toBeNull()
  })
})

describe('the first text to a number', () => {
  test('says who writes and how to stop it, once for the number', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const phone = district.newPhone()
    await district.enrol({ phone, name: 'Asha Temba' })
    await district.enrol({ phone, name: 'Zawadi Lake' })

    await deliver()

    expect(handset.inbox(phone).map((text) => text.body)).toEqual([
      expect.stringMatching(/^Hello from Ford\. .*Asha.* STOP to stop\.$/),
    ])
  })
})

describe('UNDO takes back', () => {
  test.each(['moved', 'died', 'refused', 'lost', 'away 20/03/2026'])(
    'a visit that closed or put off a child: %s',
    async (outcome) => {
      const { district, child } = await aChild()
      const before = await district.child(child.id)
      await ask(district.vaccinator, `VISIT ${child.cardNumber} ${outcome}`)

      expect(await ask(district.vaccinator, 'UNDO')).toMatch(/^Taken back: \d{4} \d{4}/)

      expect(await district.child(child.id)).toMatchObject({
        status: 'active',
        appointment: { sessionOn: before.appointment?.sessionOn },
      })
    },
  )

  test('a dose noted as refused: the vaccine is asked for again', async () => {
    const { district, child } = await aChild()
    await ask(district.vaccinator, `NOTGIVEN ${child.cardNumber} PENTA refused`)

    expect(await ask(district.vaccinator, 'UNDO')).toMatch(/^Taken back: \d{4} \d{4} PENTA/)

    const { appointment } = await district.child(child.id)
    expect(appointment?.doses.map((dose) => dose.vaccine)).toContain('PENTA')
  })

  test('a new name: the former one stands again', async () => {
    const { district, child } = await aChild()
    await ask(district.vaccinator, `NAME ${child.cardNumber} Zuri Temba`)
    await ask(district.vaccinator, 'YES')
    expect((await district.child(child.id)).name).toBe('Zuri Temba')

    await ask(district.vaccinator, 'UNDO')

    expect((await district.child(child.id)).name).toBe('Asha Temba')
  })
})
