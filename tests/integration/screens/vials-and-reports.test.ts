/** Vials, reactions and temperatures by keys: the same acts as by text. */
import { keypadOf } from '../../support/keypad.ts'
import type { Keypad } from '../../support/keypad.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-10T10:00+03:00')
const { clock, database, ask, inbox, deliver } = service
beforeEach(service.empty)

async function aShift(): Promise<{ district: TestDistrict; phone: Keypad }> {
  clock.moveTo('2026-03-10T10:00+03:00')
  const district = await newDistrict(service)
  return { district, phone: keypadOf(service, district.vaccinator) }
}

/** The key of a line on a screen, paging on where it is further down. */
async function keyOf(phone: Keypad, screen: string, line: string): Promise<string> {
  const key = new RegExp(`^(\\d) ${line}$`, 'm').exec(screen)?.[1]
  return key ?? keyOf(phone, await phone.press('9'), line)
}

/** From the home menu to the conditions of a new vial of fractional IPV. */
async function upToConditions(phone: Keypad): Promise<string> {
  const vaccines = await phone.dial('5', '1')
  await phone.press(await keyOf(phone, vaccines, 'FIPV'))
  return phone.press('L4471B', '052027')
}

const vialsOf = ({ id }: TestDistrict) => database.db.vial.findMany({ where: { districtId: id } })

describe('a vial', () => {
  test('is opened by keys with its conditions, and the last screen says until when', async () => {
    const { district, phone } = await aShift()

    expect(await upToConditions(phone)).toMatch(/^Always at 2-8 C, never frozen/)
    expect(await phone.press('1')).toMatch(/^FIPV L4471B\nMon 31 May 2027\n8 Save/)
    expect(await vialsOf(district)).toEqual([])
    const saved = await phone.press('8')

    expect(saved).toMatch(/^Vial \d+, FIPV, is open\..* Discard it by /)
    expect(await vialsOf(district)).toMatchObject([
      { vaccine: 'FIPV', lot: 'L4471B', openedVia: 'ussd', conditions: { isNeverFrozen: true } },
    ])
  })

  test('with a fault is a stop, and nothing is stored', async () => {
    const { district, phone } = await aShift()
    await upToConditions(phone)

    expect(await phone.press('2')).toMatch(/^Do not use it: it may have been frozen\./)
    expect(await phone.press('8')).toMatch(/Wrong key/)
    expect(await vialsOf(district)).toEqual([])
  })

  test('of a lot opened before is opened without typing it, and taken back by UNDO', async () => {
    const { district, phone } = await aShift()
    await ask(district.vaccinator, 'OPENED FIPV L4471B 05/2027')

    const vaccines = await phone.dial('5', '1')
    const lots = await phone.press(await keyOf(phone, vaccines, 'FIPV'))
    expect(lots).toMatch(/^1 L4471B$/m)
    await phone.press('1', '1', '8')

    expect(await vialsOf(district)).toHaveLength(2)
    expect(await ask(district.vaccinator, 'UNDO')).toMatch(/^Taken back: \d+ FIPV L4471B/)
  })

  test('may be used again in time, and past its time is only to be discarded', async () => {
    const { district, phone } = await aShift()
    await ask(district.vaccinator, 'OPENED FIPV L4471B 05/2027')

    clock.moveTo('2026-03-17T10:00+03:00')
    expect(await phone.dial('5', '2', '1', '1')).toMatch(/^Vial \d+, FIPV: may be used until /)
    clock.moveTo('2026-04-09T10:00+03:00')
    const late = await phone.dial('5', '2')

    expect(late).toMatch(/Discard it: its time after opening is over\.\n1 Discard it\n0 Back/)
  })

  test('is discarded with a coded reason', async () => {
    const { district, phone } = await aShift()
    await ask(district.vaccinator, 'OPENED FIPV L4471B 05/2027')

    const why = await phone.dial('5', '2', '2')
    const look = await phone.press(await keyOf(phone, why, 'Frozen'))
    expect(look).toMatch(/^Discard it: \d+ FIPV\nFrozen\n8 Save/)
    expect(await phone.press('8')).toMatch(/^Vial \d+, FIPV, is discarded\./)

    expect(await vialsOf(district)).toMatchObject([{ discardReason: 'frozen' }])
  })
})

describe('a reaction', () => {
  test('ticked as fits reaches the manager at once, and the district has its sign', async () => {
    const { district, phone } = await aShift()
    const child = await district.enrol({ birthDate: '2026-01-20' })
    await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)

    const signs = await phone.dial('6', child.cardNumber)
    const look = await phone.press(await keyOf(phone, signs, 'Fits'))
    expect(look).toMatch(/Asha: Fits\.\n8 Save/)
    expect(await phone.press('8')).toMatch(/^Noted as serious .* Send the child to the health centre now\./)
    await deliver()

    expect(await database.db.reaction.findMany({ where: { childId: child.id } })).toMatchObject([
      { signs: ['convulsion'], isSerious: true, reportedVia: 'ussd' },
    ])
    expect(inbox(district.manager).at(-1)).toMatch(/^Serious reaction: card .* Words: Fits\./)
  })

  test('of a card that is nobody’s asks for another card', async () => {
    const { phone } = await aShift()

    expect(await phone.dial('6', '4821 7739')).toMatch(
      /^No child has card 4821 7739\. Type the card number\./,
    )
  })
})

describe('a temperature', () => {
  test.each([
    ['4.5', 4.5, /^4\.5 C is noted\./],
    ['4*5', 4.5, /^4\.5 C is noted\./],
    ['*2', -2, /^-2 C is too cold\./],
    ['0.0', 0, /^0 C is too cold\./],
  ])('typed as %s is %f', async (typed, celsius, said) => {
    const { district, phone } = await aShift()

    await phone.dial('9', '1')
    expect(await phone.press(typed)).toMatch(/ C, now\.\n8 Save/)
    expect(await phone.press('8')).toMatch(said)

    const readings = await database.db.fridgeReading.findMany({ where: { districtId: district.id } })
    expect(readings.map((reading) => reading.celsius)).toEqual([celsius])
  })

  test('of a post with several refrigerators asks which', async () => {
    const { district, phone } = await aShift()
    await ask(district.vaccinator, 'TEMP 4.5 fridge 1')
    await ask(district.vaccinator, 'TEMP 5.0 fridge 2')

    clock.advance({ hours: 1 })
    expect(await phone.dial('9', '1')).toMatch(/^Fridge temperature\n1 1\n2 2\n/)
    await phone.press('2', '6.0', '8')

    const [last] = await database.db.fridgeReading.findMany({ orderBy: { readAt: 'desc' }, take: 1 })
    expect(last).toMatchObject({ districtId: district.id, fridge: '2', celsius: 6 })
  })
})

test('who is expected bears the mark of an earlier reaction, as in the text', async () => {
  const { district, phone } = await aShift()
  const child = await district.enrol({ birthDate: '2026-01-20' })
  await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
  await ask(district.vaccinator, `REACTION ${child.cardNumber} fits`)

  const due = await phone.dial('2')

  expect(due).toMatch(/! = a reaction was noted: ask your supervisor first\./)
  expect(due).toMatch(/Asha!$/m)
})
