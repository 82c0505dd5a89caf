/** A PIN for texts and screens: made known by a manager's code, asked for where the district says so. */
import { z } from 'zod'
import type { PersonWithPin } from '../../../src/app/pins/make-pin-code.ts'
import { keypadOf } from '../../support/keypad.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, ask, inbox, call, deliver } = service
beforeEach(service.empty)

const people = z.object({ people: z.array(z.custom<PersonWithPin>()) })
const made = z.object({ code: z.string().regex(/^\d{6}$/), until: z.iso.datetime() })

async function aDistrict(...pinActs: NonNullable<TestDistrict['file']['district']['pinActs']>) {
  clock.moveTo('2026-03-10T11:00+03:00')
  const district = await newDistrict(service, { district: { pinActs } })
  return { district, child: await district.enrol({ birthDate: '2026-01-20' }) }
}

async function peopleOf(district: TestDistrict): Promise<readonly PersonWithPin[]> {
  const reply = await call('GET', `/v1/districts/${district.id}/people`, { token: district.token })
  return people.parse(reply.body).people
}

const stateOf = async (district: TestDistrict, phone: string) =>
  (await peopleOf(district)).find((person) => person.phone === phone)?.pin

/** A manager's code for a phone's worker. */
async function codeFor(district: TestDistrict, phone: string): Promise<string> {
  const person = (await peopleOf(district)).find((one) => one.phone === phone)
  const path = `/v1/districts/${district.id}/people/${person?.id ?? ''}/pin-code`
  const reply = await call('POST', path, { token: await district.tokenFor('manager') })
  expect(reply.status).toBe(201)
  return made.parse(reply.body).code
}

async function withPin(district: TestDistrict, phone: string, pin: string): Promise<void> {
  expect(await ask(phone, `PIN ${await codeFor(district, phone)} ${pin}`)).toMatch(/^Your new PIN is set/)
}

const dosesOf = (child: ChildJson) => database.db.dose.count({ where: { childId: child.id, voidedAt: null } })
const statusOf = async (child: ChildJson) =>
  (await database.db.child.findUniqueOrThrow({ where: { id: child.id } })).status
const lastProblemOf = async (from: string) =>
  (await database.db.textIn.findFirstOrThrow({ where: { fromNumber: from }, orderBy: { id: 'desc' } }))
    .problem

describe('a text for which its district asks a PIN', () => {
  test('does nothing without one and says what to do, also for a forged sender who records as before', async () => {
    const { district, child } = await aDistrict('undo', 'visit-died')
    const { vaccinator } = district
    await withPin(district, vaccinator, '4821')
    await ask(vaccinator, `GAVE ${child.cardNumber} BCG`)

    expect(await ask(vaccinator, 'UNDO')).toMatch(/^This needs your PIN.*PIN and your PIN at its end/)
    expect(await lastProblemOf(vaccinator)).toBe('pin-needed')
    expect(await ask(vaccinator, `VISIT ${child.cardNumber} died`)).toMatch(/^This needs your PIN/)

    expect([await dosesOf(child), await statusOf(child)]).toEqual([1, 'active'])
  })

  test('is done with the PIN at its end, however the word and the digits are written', async () => {
    const { district, child } = await aDistrict('undo', 'visit-moved')
    const { vaccinator } = district
    await withPin(district, vaccinator, '4821')
    await ask(vaccinator, `GAVE ${child.cardNumber} BCG`)

    expect(await ask(vaccinator, 'UNDO pin4821')).toMatch(/taken back|Taken back|undone/i)
    expect(await dosesOf(child)).toBe(0)
    expect(await ask(vaccinator, `VISIT ${child.cardNumber} moved. Pin: ٤٨٢١`)).toMatch(/moved/)
    expect(await statusOf(child)).toBe('moved')
  })

  test('is told how to get a PIN where its sender has none', async () => {
    const { district } = await aDistrict('acknowledge')

    expect(await ask(district.manager, 'SEEN')).toMatch(/^This needs a PIN and you have none/)
    expect(await lastProblemOf(district.manager)).toBe('pin-unset')
  })

  test('is right at the second try, though the words are the same', async () => {
    const { district, child } = await aDistrict('undo')
    const { vaccinator } = district
    await withPin(district, vaccinator, '4821')
    await ask(vaccinator, `GAVE ${child.cardNumber} BCG`)

    expect(await ask(vaccinator, 'UNDO PIN 4822')).toMatch(/not right; nothing was recorded. Tries left: 4/)
    expect(await dosesOf(child)).toBe(1)
    await ask(vaccinator, 'UNDO PIN 4821')
    expect(await dosesOf(child)).toBe(0)
  })

  test('needs none for an act that the district left free, and by default for no act at all', async () => {
    const { district, child } = await aDistrict()
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG`)
    await ask(district.vaccinator, 'UNDO')

    expect(await dosesOf(child)).toBe(0)
  })
})

describe('a PIN', () => {
  test('is chosen with the code of a manager, changed by its owner, and ended by another code', async () => {
    const { district, child } = await aDistrict('undo')
    const { vaccinator } = district
    expect(await stateOf(district, vaccinator)).toBe('none')
    const code = await codeFor(district, vaccinator)
    await deliver()
    expect(inbox(vaccinator).at(-1)).toMatch(/^A code for a new PIN was made for you/)
    expect(inbox(vaccinator).join()).not.toContain(code)
    expect(await stateOf(district, vaccinator)).toBe('code-made')

    await ask(vaccinator, `PIN ${code} 4821`)
    expect(await stateOf(district, vaccinator)).toBe('chosen')
    expect(await ask(vaccinator, `PIN ${code} 9375`)).toMatch(/not right/)
    expect(await ask(vaccinator, 'PIN 4821 937502')).toMatch(/^Your new PIN is set/)
    await ask(vaccinator, `GAVE ${child.cardNumber} BCG`)
    expect(await ask(vaccinator, 'UNDO PIN 4821')).toMatch(/not right/)

    await codeFor(district, vaccinator)
    expect(await ask(vaccinator, 'UNDO PIN 937502')).toMatch(/you have none/)
  })

  test.each(['PIN', 'PIN 123456', 'PIN 123456 123', 'PIN 123456 1111', 'PIN 123456 1234', 'PIN 123456 8765'])(
    'is explained and not set by %s',
    async (text) => {
      const { district } = await aDistrict('undo')
      await codeFor(district, district.vaccinator)

      expect(await ask(district.vaccinator, text)).toMatch(/4 to 6 digits, not like 1111 or 1234/)
      expect(await stateOf(district, district.vaccinator)).toBe('code-made')
    },
  )

  test('cannot be chosen with a code that is a day old', async () => {
    const { district } = await aDistrict('undo')
    const code = await codeFor(district, district.vaccinator)
    clock.advance({ hours: 24 })

    expect(await ask(district.vaccinator, `PIN ${code} 4821`)).toMatch(/Ask your manager for a code/)
  })

  test('is locked by five wrong tries, also the right one then, and the manager is told once', async () => {
    const { district, child } = await aDistrict('undo')
    const { vaccinator, manager } = district
    await withPin(district, vaccinator, '4821')
    await ask(vaccinator, `GAVE ${child.cardNumber} BCG`)
    for (const wrong of ['4822', '4823', '4824', '4825']) {
      expect(await ask(vaccinator, `UNDO PIN ${wrong}`)).toMatch(/not right/)
    }
    expect(await ask(vaccinator, 'UNDO PIN 4826')).toMatch(/^Your PIN is locked/)
    expect(await ask(vaccinator, 'UNDO PIN 4821')).toMatch(/^Your PIN is locked/)
    expect(await ask(vaccinator, 'PIN 4821 9375')).toMatch(/^Your PIN is locked/)

    expect(await dosesOf(child)).toBe(1)
    expect(await stateOf(district, vaccinator)).toBe('locked')
    await deliver()
    expect(inbox(manager).filter((text) => text.includes('Wanda Ford is locked'))).toHaveLength(1)

    await withPin(district, vaccinator, '9375')
    await ask(vaccinator, 'UNDO PIN 9375')
    expect(await dosesOf(child)).toBe(0)
  })

  test('of somebody in another district cannot be ended with a code', async () => {
    const { district } = await aDistrict('undo')
    const { district: other } = await aDistrict('undo')
    const [person] = await peopleOf(other)
    const path = `/v1/districts/${district.id}/people/${person?.id ?? ''}/pin-code`

    expect(await call('POST', path, { token: district.token })).toMatchObject({ status: 404 })
  })
})

describe('over USSD', () => {
  test('the PIN is chosen, asked for before what is asked about, and nothing is done with a wrong one', async () => {
    const { district, child } = await aDistrict('undo')
    const { vaccinator } = district
    const code = await codeFor(district, vaccinator)
    const phone = keypadOf(service, vaccinator)
    await phone.dial()
    await phone.choose('My PIN')
    expect(await phone.press(`${code} 4821`)).toMatch(/^Your new PIN is set/)
    await ask(vaccinator, `GAVE ${child.cardNumber} BCG`)

    await phone.dial()
    await phone.press('00')
    await phone.choose('Take back my last entry')
    expect(await phone.choose('Yes')).toMatch(/^Type your PIN:/)
    expect(await phone.press('9999')).toMatch(/not right; nothing was recorded/)
    expect(await dosesOf(child)).toBe(1)
    expect(await phone.press('0')).toMatch(/^Type your PIN:/)
    await phone.press('4821')
    expect(await dosesOf(child)).toBe(0)
  })

  test('the home menus of a district that asks no PIN are as before', async () => {
    const { district } = await aDistrict()

    expect(await keypadOf(service, district.manager).dial()).not.toMatch(/PIN/)
  })
})

test('no PIN and no code is stored readable anywhere, nor sent, nor kept once its text is answered', async () => {
  const { district, child } = await aDistrict('undo')
  const { vaccinator, manager } = district
  const code = await codeFor(district, vaccinator)
  await ask(vaccinator, `PIN ${code} 738291`)
  await ask(vaccinator, `GAVE ${child.cardNumber} BCG`)
  await ask(vaccinator, 'UNDO PIN 738292')
  await ask(vaccinator, 'UNDO PIN 738291')
  const phone = keypadOf(service, vaccinator)
  await phone.dial()
  await phone.choose('My PIN')
  await phone.press('738291 592047')
  const secrets = [code, '738291', '738292', '592047']

  const tables = await database.pool.query<{ name: string }>(
    `select table_name as name from information_schema.tables
     where table_schema = 'public' and table_type = 'BASE TABLE'`,
  )
  for (const { name } of tables.rows) {
    const { rows } = await database.pool.query<{ row: string }>(`select t::text as row from "${name}" t`)
    for (const secret of secrets) expect(rows.filter(({ row }) => row.includes(secret))).toEqual([])
  }
  // Opened, as the service reads them.
  const texts = await database.db.textIn.findMany({ where: { fromNumber: vaccinator } })
  const dialogues = await database.db.dialogue.findMany()
  const changes = await database.db.change.findMany()
  const opened = JSON.stringify([texts, dialogues, changes, inbox(vaccinator), inbox(manager)])
  for (const secret of secrets) expect(opened).not.toContain(secret)
  expect(texts.map(({ body, pin }) => [body, pin])).toEqual(
    expect.arrayContaining([
      ['PIN **** ****', null],
      ['UNDO PIN ****', null],
    ]),
  )
})
