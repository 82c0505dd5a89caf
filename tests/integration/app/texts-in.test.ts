import { answerText } from '../../../src/app/answering/answer-text.ts'
import { receiveText } from '../../../src/app/receive-text.ts'
import { silentConveyor } from '../../../src/main/open-deps.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, newPhone } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, deps, handset, ask, inbox, deliver, whenIdle } = service
beforeEach(service.empty)

let texts = 0

async function aChild(): Promise<{ district: TestDistrict; child: ChildJson }> {
  clock.moveTo('2026-03-10T11:00+03:00')
  const district = await newDistrict(service)
  return { district, child: await district.enrol({ birthDate: '2026-01-20' }) }
}

/** Stores a text as a gateway hands it over, and leaves it unread: as when the process dies right after. */
async function storeOnly(from: string, body: string, torn: object = {}): Promise<string> {
  texts += 1
  const key = `left-${texts}`
  const text = { gateway: 'handset', key, from, to: '40404', body, ...torn }
  await receiveText({ ...deps, conveyor: silentConveyor }, text)
  const { id } = await database.db.textIn.findFirstOrThrow({ where: { key } })
  return id
}

const lastTextOf = (from: string) =>
  database.db.textIn.findFirstOrThrow({ where: { fromNumber: from }, orderBy: { id: 'desc' } })

const dosesOf = (child: ChildJson) => database.db.dose.count({ where: { childId: child.id } })

describe('a text is stored before it is understood', () => {
  test('so one that nobody read is found by the next sweep, and answered once', async () => {
    const { district, child } = await aChild()
    await storeOnly(district.vaccinator, `GAVE ${child.cardNumber} BCG`)
    expect(inbox(district.vaccinator)).toEqual([])

    clock.advance({ seconds: 11 })
    await deliver()
    await deliver()

    expect(inbox(district.vaccinator)).toHaveLength(1)
    expect(await dosesOf(child)).toBe(1)
  })

  test('so a crash half-way through the answer leaves nothing, and it is answered later', async () => {
    const { district, child } = await aChild()
    const id = await storeOnly(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
    let made = 0
    const dying = {
      ...deps,
      newId: () => {
        made += 1
        // Some doses are stored by then, the reply is not.
        if (made === 8) throw new Error('killed')
        return deps.newId()
      },
    }

    await answerText(dying, id)
    expect(await dosesOf(child)).toBe(0)
    expect(await lastTextOf(district.vaccinator)).toMatchObject({
      handledAt: null,
      trouble: 'Error',
      tries: 1,
    })

    clock.advance({ seconds: 11 })
    await deliver()
    expect(await dosesOf(child)).toBe(5)
    expect(inbox(district.vaccinator)).toHaveLength(1)
  })

  test('and is read by one worker only, also when two have it', async () => {
    const { district, child } = await aChild()
    const id = await storeOnly(district.vaccinator, `GAVE ${child.cardNumber} BCG`)

    await Promise.all([answerText(deps, id), answerText(deps, id), answerText(deps, id)])
    await whenIdle()

    expect(await database.db.textOut.count({ where: { inReplyTo: id } })).toBe(1)
    expect(await dosesOf(child)).toBe(1)
  })

  test('and one that cannot be stored is not confirmed to its gateway', async () => {
    const { district } = await aChild()
    await database.pool.query('alter table text_in rename to text_in_away')

    await expect(handset.text(district.vaccinator, 'HELP')).rejects.toThrow()
    await database.pool.query('alter table text_in_away rename to text_in')

    expect(await ask(district.vaccinator, 'HELP')).toMatch(/GAVE/)
  })

  test('with the words, sender and time as they came, so that nobody can deny sending it', async () => {
    const { district } = await aChild()
    const words = '  due   Mbari?? 👍 '

    await ask(district.vaccinator, words)

    expect(await lastTextOf(district.vaccinator)).toMatchObject({
      body: words,
      fromNumber: district.vaccinator,
      receivedAt: clock.now(),
      act: 'due-list',
    })
  })
})

describe('what cannot be done is said with a stable code and a sentence, and changes nothing', () => {
  const CASES: readonly (readonly [string, (card: string) => string])[] = [
    ['card-check-digit', () => 'GAVE 4821 7738 BCG'],
    ['card-length', () => 'GAVE 4821 773 BCG'],
    ['child-not-found', () => 'CARD 4821 7739'],
    ['card-missing', () => 'GAVE BCG'],
    ['vaccine-missing', (card) => `GAVE ${card}`],
    ['date-future', (card) => `GAVE ${card} BCG 24/12/2026`],
    ['date-impossible', (card) => `GAVE ${card} BCG 31/02/2026`],
    ['dose-before-birth', (card) => `GAVE ${card} BCG 02/01/2026`],
    ['village-unknown', () => 'NEW Nowhere 20/01/2026 F 07700900123 Asha'],
    ['phone-impossible', () => 'NEW Mbari 20/01/2026 F +4412 Asha'],
    ['role-not-allowed', () => 'COVER'],
    ['not-understood', () => 'the boat leaves at noon'],
  ]

  test.each(CASES)('%s', async (code, textFor) => {
    const { district, child } = await aChild()

    const reply = await ask(district.vaccinator, textFor(child.cardNumber))

    expect((await lastTextOf(district.vaccinator)).problem).toBe(code)
    expect(reply).toMatch(/\w{3,} \w+/)
    expect(await dosesOf(child)).toBe(0)
    expect(await database.db.child.count({ where: { districtId: district.id } })).toBe(1)
  })

  test('unknown-sender', async () => {
    const stranger = newPhone()

    expect(await ask(stranger, 'GAVE 48217739 BCG')).toMatch(/do not know this number/)
    expect((await lastTextOf(stranger)).problem).toBe('unknown-sender')
  })

  test.each([
    ['a text that lost a part on the way', { missingParts: 1 }],
    ['something that was no text at all', { isBinary: true as const }],
  ])('%s records nothing', async (_what, torn) => {
    const { district, child } = await aChild()
    await storeOnly(district.vaccinator, `GAVE ${child.cardNumber} BCG`, torn)

    clock.advance({ seconds: 11 })
    await deliver()

    expect(await dosesOf(child)).toBe(0)
    expect(inbox(district.vaccinator)).toHaveLength(1)
  })

  test('a text with a NUL in it is stored without it and answered', async () => {
    const { district } = await aChild()

    expect(await ask(district.vaccinator, 'HE\u0000LP')).toMatch(/GAVE/)
  })

  test('a sender who is a name or a short code gets no reply', async () => {
    await storeOnly('Bank', 'Your code is 1234')

    clock.advance({ seconds: 11 })
    await deliver()

    expect(inbox('Bank')).toEqual([])
    expect((await lastTextOf('Bank')).handledAt).not.toBeNull()
  })

  test('our own words coming back get no reply, so that two machines do not talk for ever', async () => {
    const { district } = await aChild()
    const reply = await ask(district.vaccinator, 'HELP')

    await handset.text(district.vaccinator, reply)
    await whenIdle()

    expect(inbox(district.vaccinator)).toHaveLength(1)
    const echo = (await database.db.textIn.findMany()).find(({ body }) => body === reply)
    expect(echo?.problem).toBe('echo')
  })
})
