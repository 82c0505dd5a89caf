import { answerScreen } from '../../../src/app/screens/answer-screen.ts'
import { keypadOf } from '../../support/keypad.ts'
import type { Keypad } from '../../support/keypad.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, newPhone } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, deps, handset, ask, call } = service

interface Home {
  readonly district: TestDistrict
  readonly child: ChildJson
  readonly number: string
  readonly phone: Keypad
}

/** A family of Wednesday 4 March 2026 whose child is expected on Tuesday 10 March. */
async function aHome(): Promise<Home> {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
  const number = child.phones[0]?.number ?? ''
  return { district, child, number, phone: keypadOf(service, number) }
}

const lineOf = (number: string) => database.db.phoneLine.findFirstOrThrow({ where: { number } })

const plannedOf = async ({ id }: ChildJson): Promise<string | undefined> =>
  (await database.db.appointment.findFirst({ where: { childId: id, status: 'planned' } }))?.sessionOn
    .toISOString()
    .slice(0, 10)

describe('a parent dials (requirement REM-19)', () => {
  test('the next date of each child stands on the first screen', async () => {
    const { district, number, phone } = await aHome()

    expect(await phone.dial()).toMatch(/^Asha: Tue 10 Mar at Ford\.\n1 Move the date\n2 After a vaccine\n/)
    await district.enrol({ phone: number, name: 'Juma Temba', sex: 'male', birthDate: '2026-01-21' })

    expect(await phone.dial()).toMatch(/^Asha, Juma: Tue 10 Mar at Ford\.\n/)
  })

  test('an unknown phone learns nothing, whatever it presses', async () => {
    const { child } = await aHome()
    const stranger = keypadOf(service, newPhone())

    const screen = await stranger.dial()

    expect(screen).toBe('We do not know this number. Please ask your health post to add it.')
    expect(stranger.isOver()).toBe(true)
    expect(screen).not.toContain(child.cardNumber)
  })

  test('a key in a dialogue of another phone opens nothing', async () => {
    const { district, number, phone } = await aHome()
    await phone.dial()
    const { gateway, id } = await database.db.dialogue.findFirstOrThrow({ where: { number } })

    const answer = await handset.press(number, '1')
    const step = { gateway, dialogue: id, from: district.vaccinator, typed: '1', isFirst: false }
    const stolen = await answerScreen(deps, step)

    expect(answer.text).toMatch(/^Asha: /)
    expect(stolen).toEqual({ text: 'This session is over. Please dial again.', ends: true })
  })
})

describe('a parent moves the date', () => {
  test('sees the day it would move to, agrees, and the last screen says what was stored', async () => {
    const { child, phone } = await aHome()

    expect(await phone.dial('1')).toBe('Asha: Tue 17 Mar instead of Tue 10 Mar?\n8 Yes\n0 Back')
    expect(await plannedOf(child)).toBe('2026-03-10')
    expect(await phone.press('8')).toMatch(/^The vaccine day of Asha is now Tue 17 Mar at Ford\./)

    expect(phone.isOver()).toBe(true)
    expect(await plannedOf(child)).toBe('2026-03-17')
    expect(await phone.dial()).toMatch(/^Asha: Tue 17 Mar at Ford\./)
  })

  test('whose answer was lost is not moved a second time by dialling again', async () => {
    const { child, phone } = await aHome()
    await phone.dial('1', '8')

    await phone.dial()
    await phone.dial()

    expect(await plannedOf(child)).toBe('2026-03-17')
  })

  test('chooses among the visits of several children', async () => {
    const { district, child, number, phone } = await aHome()
    const juma = await district.enrol({
      phone: number,
      name: 'Juma Temba',
      sex: 'male',
      birthDate: '2026-02-23',
    })
    const body = { vaccines: ['BCG', 'HEPB'], givenOn: '2026-02-23', isElsewhere: true }
    await call('POST', `/v1/children/${juma.id}/doses`, { token: district.token, body })

    await phone.dial()
    await phone.choose('Move the date')
    await phone.choose('Juma: Tue 7 Apr')
    expect(await phone.press('8')).toMatch(/^The vaccine day of Juma is now Tue 14 Apr/)

    expect(await plannedOf(child)).toBe('2026-03-10')
    expect(await plannedOf(juma)).toBe('2026-04-14')
  })

  test.each([0, 1])('dropped after %i keys nothing has moved, and it can be gone on with', async (step) => {
    const { child, phone } = await aHome()
    await phone.dial(...['1', '8'].slice(0, step))

    const screen = await phone.dial()
    expect(await plannedOf(child)).toBe('2026-03-10')
    if (step > 0) expect(screen).toMatch(/^You stopped half-way/)
    await phone.press('1', '8')

    expect(await plannedOf(child)).toBe('2026-03-17')
  })
})

describe('a parent asks and chooses', () => {
  test('what is normal after the vaccines given last, and what is urgent', async () => {
    const { district, child, phone } = await aHome()
    clock.moveTo('2026-03-10T10:00+03:00')
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG`)
    await phone.dial()
    await phone.choose('After a vaccine')

    const advice = (await phone.readOn()).replace(/\s+/g, ' ')

    expect(advice).toMatch(/A small sore may come later and heal by itself/)
    expect(advice).toMatch(/For any other reaction, or fever after 2 days, go to the health centre/)
    expect(advice).toMatch(/Go now: fits, trouble breathing/)
  })

  test('a language, which is asked and answered in that language', async () => {
    const { number, phone } = await aHome()
    await phone.dial()
    await phone.choose('Language')

    expect(await phone.choose('Francais')).toMatch(/^Francais\n8 Oui\n/)
    expect(await phone.press('8')).toMatch(/^Désormais nous vous écrivons en francais\./)
    expect((await lineOf(number)).language).toBe('fr')
    expect(await phone.dial()).toMatch(/^Asha: mar 10 mars/)
  })

  test('no more reminders, and reminders again', async () => {
    const { number, phone } = await aHome()
    await phone.dial()
    await phone.choose('Stop reminders')

    expect(await phone.press('8')).toMatch(/^We will send no more reminders to this number/)
    expect(await lineOf(number)).toMatchObject({ consent: 'withdrawn', consentSource: 'ussd-stop' })
    await phone.dial()
    await phone.choose('Get reminders again')
    expect(await phone.press('8')).toMatch(/^Reminders come to this number again/)
    expect(await lineOf(number)).toMatchObject({ consent: 'given', stoppedAt: null })
  })

  test('back to the first screen, and out', async () => {
    const { phone } = await aHome()
    const home = await phone.dial()

    await phone.press('2')
    expect(await phone.press('0')).toBe(home)
    expect(await phone.press('0')).toBe('Thank you. Goodbye.')
    expect(phone.isOver()).toBe(true)
  })
})

test('a vaccinator who is also a parent finds the own children under the work', async () => {
  const { district, child } = await aHome()
  const juma = await district.enrol({
    phone: district.vaccinator,
    name: 'Juma Ford',
    birthDate: '2026-01-21',
  })
  const phone = keypadOf(service, district.vaccinator)

  await phone.dial()
  expect(await phone.choose('My own children')).toMatch(/^Juma: Tue 10 Mar at Ford\./)
  await phone.choose('Move the date')
  await phone.press('8')

  expect(await plannedOf(juma)).toBe('2026-03-17')
  expect(await plannedOf(child)).toBe('2026-03-10')
})

test('a store that fails says so, and nothing is lost', async () => {
  const { child, number, phone } = await aHome()
  await phone.dial('1')
  const { gateway, id } = await database.db.dialogue.findFirstOrThrow({ where: { number } })
  const full = { ...deps.database, transaction: () => Promise.reject(new Error('the disk is full')) }
  const step = { gateway, dialogue: id, from: number, typed: '8', isFirst: false }

  const answer = await answerScreen({ ...deps, database: full }, step)

  expect(answer).toEqual({ text: 'Sorry, this did not work. Please dial again.', ends: true })
  expect(await plannedOf(child)).toBe('2026-03-10')
  expect(await phone.press('8')).toMatch(/is now Tue 17 Mar/)
})
