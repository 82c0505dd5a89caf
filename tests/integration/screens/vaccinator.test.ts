import { keypadOf } from '../../support/keypad.ts'
import type { Keypad } from '../../support/keypad.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, newPhone } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'
import { childNamed } from '../../support/child-named.ts'

const service = await runningService()
const { clock, database, handset, ask } = service

interface Shift {
  readonly district: TestDistrict
  readonly child: ChildJson
  readonly phone: Keypad
}

/** A vaccinator on a session day, with a child of six weeks who had its birth doses and for whom much is due. */
async function aShift(): Promise<Shift> {
  clock.moveTo('2026-03-10T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
  return { district, child, phone: keypadOf(service, district.vaccinator) }
}

const dosesOf = (child: ChildJson) =>
  database.db.dose.findMany({ where: { childId: child.id, voidedAt: null }, orderBy: { vaccine: 'asc' } })

const vaccinesOf = async (child: ChildJson): Promise<string[]> =>
  (await dosesOf(child)).map(({ vaccine }) => vaccine)

const spaced = (card: string): string => `${card.slice(0, 4)} ${card.slice(4)}`

describe('a vaccinator records doses by keys', () => {
  test('card, all that is due, a last look, saved: the last screen says what was stored and the next date', async () => {
    const { child, phone } = await aShift()

    expect(await phone.dial()).toMatch(/^Ford\n1 Record vaccines\n2 Who is due\n/)
    expect(await phone.press('1')).toBe('Type the card number.\n1 No card: find by name\n0 Back')
    expect(await phone.press(child.cardNumber)).toMatch(`${spaced(child.cardNumber)} Asha\nWhich were given?`)
    const look = await phone.press('1')
    expect(look).toMatch(/Asha, born Tue 20 Jan 2026\./)
    expect(look).toMatch(/given Tue 10 Mar\.\n8 Save/)
    expect(await vaccinesOf(child)).toEqual([])
    const saved = await phone.press('8')

    expect(saved).toMatch(/OPV 1.* recorded for Tue 10 Mar\. Next visit: Tue 7 Apr/)
    expect(saved).toMatch(/Next child: type the card number\./)
    const doses = await dosesOf(child)
    expect(doses.map(({ vaccine }) => vaccine)).toEqual(expect.arrayContaining(['BOPV', 'PENTA']))
    expect(new Set(doses.map(({ recordedVia }) => recordedVia))).toEqual(new Set(['ussd']))
    expect(new Set(doses.map(({ postId }) => postId)).has(null)).toBe(false)
  })

  test('only the lines whose numbers were typed, several at once, and one more after a look', async () => {
    const { child, phone } = await aShift()
    const list = await phone.dial('1', child.cardNumber)
    const numberOf = (vaccine: string) => new RegExp(`(\\d) ${vaccine}$`, 'm').exec(list)?.[1] ?? ''

    const look = await phone.press(`${numberOf('BOPV')}${numberOf('PENTA')}`)
    expect(look).toMatch(/BOPV, PENTA, given/)
    const again = await phone.press('0')
    expect(again).toMatch(/\+BOPV/)
    await phone.press(numberOf('PCV'), '8')

    expect(await vaccinesOf(child)).toEqual(['BOPV', 'PCV', 'PENTA'])
  })

  test('the next card can be typed on the screen that confirms the last', async () => {
    const { district, child, phone } = await aShift()
    const other = await district.enrol({ name: 'Juma Baraka', birthDate: '2026-01-21', sex: 'male' })
    await phone.dial('1', child.cardNumber, '1', '8')

    await phone.press(other.cardNumber, '1', '8')

    expect((await vaccinesOf(other)).length).toBeGreaterThan(1)
  })

  test('a dose of an earlier day is stored with its day', async () => {
    const { child, phone } = await aShift()
    await phone.dial('1', child.cardNumber, '1')

    await phone.choose('Another day')
    expect(await phone.press('0703')).toMatch(/given Sat 7 Mar/)
    await phone.press('8')

    const [dose] = await dosesOf(child)
    expect(dose?.givenOn.toISOString()).toBe('2026-03-07T00:00:00.000Z')
  })

  test('who is due leads from the list to the child and back to the list', async () => {
    const { district, child, phone } = await aShift()
    const other = await district.enrol({ name: 'Juma Baraka', birthDate: '2026-01-21', sex: 'male' })

    expect(await phone.dial('2')).toMatch(/Ford, Tue 10 Mar: 2 children due\./)
    await phone.choose(`${spaced(child.cardNumber)} Asha`)
    expect(await phone.press('1', '8')).toMatch(/recorded/)

    expect(await phone.press('0')).toBe(
      `Ford, Tue 10 Mar: 1 child due.\n1 ${spaced(other.cardNumber)} Juma\n0 Back`,
    )
  })
})

describe('wrong entries are told apart, and nothing is saved of them (requirement SCH-08)', () => {
  test('a wrong child, a wrong product, a dose given before, a wrong day', async () => {
    const { child, phone } = await aShift()
    const { cardNumber: card } = child
    const wrongDigit = card.slice(0, 7) + String((Number(card[7]) + 1) % 10)

    const child1 = await phone.dial('1', wrongDigit)
    const child2 = await phone.press('48217739')
    await phone.dial('2', '1', card)
    await phone.choose('Another vaccine')
    await phone.choose('MR')
    const product = await phone.readOn()
    await phone.dial('2', '1', card, '1', '8')
    await phone.dial('0', '1', card)
    await phone.choose('Another vaccine')
    await phone.choose('PENTA')
    const dose = await phone.readOn()
    const before = await vaccinesOf(child)
    await phone.dial('2', '1', card)
    await phone.choose('Another vaccine')
    await phone.choose('MR')
    await phone.choose('Another day')
    const future = await phone.press('1103')
    const unborn = await phone.press('0101')

    expect(child1).toMatch(/^A digit of card \d+ is wrong\./)
    expect(child2).toMatch(/^No child has card 4821 7739\./)
    expect(product).toMatch(/MR will not count: a dose outside the series/)
    expect(dose).toMatch(/PENTA of this day is on record already/)
    expect(dose).not.toMatch(/8 Save/)
    expect(future).toMatch(/^1103 is still to come\./)
    expect(unborn).toMatch(/2026-01-01 is before the birth/)
    expect(unborn).not.toMatch(/8 Save/)
    expect(await vaccinesOf(child)).toEqual(before)
  })

  test('a wrong key repeats the screen with a word about it', async () => {
    const { phone } = await aShift()
    const home = await phone.dial()

    for (const wrong of ['77', '8', '12', 'gave', '', '#']) {
      expect(await phone.press(wrong)).toBe(`Wrong key.\n${home}`)
    }
    expect(await phone.press('1')).toMatch(/^Type the card number/)
  })
})

describe('a dialogue that breaks off (requirements AVL-02, DOS-14)', () => {
  const STEPS = 4

  /** The keys of recording all that is due. */
  const keysFor = (child: ChildJson) => ['1', child.cardNumber, '1', '8']

  test.each(Array.from({ length: STEPS }, (_, step) => step))(
    'dropped after %i keys it goes on where it was, and everything is written once',
    async (step) => {
      const { child, phone } = await aShift()
      const keys = keysFor(child)
      await phone.dial(...keys.slice(0, step))
      clock.advance({ minutes: 9 })

      const screen = await phone.dial()
      if (step > 0) {
        expect(screen).toMatch(/^You stopped half-way\.\n1 Go on\n2 Start again/)
        await phone.press('1')
      }
      await phone.press(...keys.slice(step))

      const vaccines = await vaccinesOf(child)
      expect(vaccines.length).toBeGreaterThan(1)
      expect(new Set(vaccines).size).toBe(vaccines.length)
    },
  )

  test.each(Array.from({ length: STEPS }, (_, step) => step))(
    'dropped after %i keys it starts again cleanly, and everything is written once',
    async (step) => {
      const { child, phone } = await aShift()
      const keys = keysFor(child)
      await phone.dial(...keys.slice(0, step))

      const screen = await phone.dial()
      if (step > 0) expect(await phone.press('2')).toMatch(/^Ford\n1 Record/)
      else expect(screen).toMatch(/^Ford\n1 Record/)
      await phone.press(...keys)

      const vaccines = await vaccinesOf(child)
      expect(vaccines.length).toBeGreaterThan(1)
      expect(new Set(vaccines).size).toBe(vaccines.length)
    },
  )

  test('when the answer to the key that saves is lost, dialling again shows that it was saved', async () => {
    const { child, phone } = await aShift()
    await phone.dial(...keysFor(child))
    const before = await vaccinesOf(child)

    expect(await phone.dial()).toMatch(/recorded for Tue 10 Mar/)
    const again = await phone.press(child.cardNumber)

    expect(again).toMatch(/Nothing is due today\./)
    expect(await vaccinesOf(child)).toEqual(before)
    expect(await database.db.textIn.count({ where: { fromNumber: child.cardNumber } })).toBe(0)
  })

  test('every key that the network brings twice shows the same screen and does nothing more', async () => {
    const { district, child, phone } = await aShift()
    await phone.dial()

    for (const [at, key] of keysFor(child).entries()) {
      const once = await handset.press(district.vaccinator, key, `step ${at}`)
      expect(await handset.press(district.vaccinator, key, `step ${at}`)).toEqual(once)
    }

    const vaccines = await vaccinesOf(child)
    expect(new Set(vaccines).size).toBe(vaccines.length)
    const kept = await database.db.textIn.findMany({ where: { fromNumber: district.vaccinator } })
    expect(kept.map(({ act }) => act)).toEqual(['record-doses'])
  })

  test('where the network numbers no steps, the key that saves brought many times saves once', async () => {
    const { district, child, phone } = await aShift()
    await phone.dial(...keysFor(child).slice(0, -1))

    const screens = await Promise.all(
      Array.from({ length: 5 }, () => handset.press(district.vaccinator, '8')),
    )

    expect(screens.every(({ text }) => text.includes('recorded for Tue 10 Mar'))).toBe(true)
    expect(await database.db.textIn.count({ where: { fromNumber: district.vaccinator } })).toBe(1)
  })

  test('idle for longer than ten minutes it is over, and nothing of it is kept (requirement SEC-04)', async () => {
    const { district, child, phone } = await aShift()
    await phone.dial('1', child.cardNumber, '1')
    clock.advance({ minutes: 11 })

    expect(await phone.press('8')).toBe('This session is over. Please dial again.')
    expect(phone.isOver()).toBe(true)
    expect(await phone.dial()).toMatch(/^Ford\n1 Record/)
    expect(await vaccinesOf(child)).toEqual([])
    clock.advance({ minutes: 11 })
    await service.sweep()
    expect(await database.db.dialogue.count({ where: { number: district.vaccinator } })).toBe(0)
  })

  test('what someone else recorded meanwhile is shown before anything is saved', async () => {
    const { district, child, phone } = await aShift()
    await phone.dial('1', child.cardNumber, '1')
    await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
    const before = await vaccinesOf(child)

    const look = await phone.press('8')

    expect(look).toMatch(/is on record already/)
    expect(look).not.toMatch(/8 Save/)
    expect(await vaccinesOf(child)).toEqual(before)
  })
})

describe('a vaccinator enrols by keys', () => {
  const born = ['12022026', '1'] as const

  test('village, birth, sex, phone, name: the last screen gives the card number, and the vaccines follow', async () => {
    const { phone } = await aShift()
    const family = newPhone()
    await phone.dial('3')
    await phone.choose('Mbari')

    expect(await phone.press('31022026')).toMatch(/^There is no day 31022026\.\nBirth date\?/)
    const look = await phone.press(...born, family, 'Neema Mollel')
    expect(look).toBe(`Neema Mollel\nGirl\nThu 12 Feb 2026\nMbari\n${family}\n8 Save\n0 Back 00 Menu`)
    const saved = await phone.press('8')

    const child = await childNamed(database.db, 'Neema Mollel')
    expect(saved).toMatch(`Write this number on the card: ${spaced(child.cardNumber)}.`)
    expect(child).toMatchObject({ sex: 'female', enrolledVia: 'ussd' })
    expect(await phone.press('1')).toMatch(`${spaced(child.cardNumber)} Neema\nWhich were given?`)
  })

  test('a family without a phone and a child without a name', async () => {
    const { phone } = await aShift()
    await phone.dial('3')
    await phone.choose('Kesho')
    await phone.press(...born)
    await phone.choose('No phone')
    await phone.choose('No name yet')

    expect(await phone.press('8')).toMatch(/^Baby is enrolled\. Write this number on the card/)
  })

  test('a child like one on the register opens no record before that one was shown (requirement REG-01)', async () => {
    const { district, phone } = await aShift()
    const first = await district.enrol({ name: 'Neema Mollel', birthDate: '2026-02-12' })
    const enrol = async () => {
      await phone.dial('3')
      await phone.choose('Mbari')
      await phone.press(...born)
      await phone.choose('No phone')
      return phone.press('Neema Molel', '8')
    }
    const count = () =>
      database.db.child.count({ where: { districtId: district.id, birthOn: new Date('2026-02-12') } })

    expect(await enrol()).toMatch(`${spaced(first.cardNumber)} Neema\n2 No, another child`)
    expect(await phone.press('1')).toMatch(`${spaced(first.cardNumber)} Neema\nWhich were given?`)
    expect(await count()).toBe(1)
    await phone.dial('2')
    await enrol()
    expect(await phone.press('2')).toMatch(/8 Save/)
    await phone.press('8')
    expect(await count()).toBe(2)
  })
})

describe('a vaccinator without the card finds a child', () => {
  async function fourLikeNames() {
    const { district, phone } = await aShift()
    for (const [name, birthDate] of [
      ['Asher Temba', '2026-01-05'],
      ['Ashura Mollel', '2026-02-01'],
      ['Aisha Umoja', '2026-01-12'],
      ['Baraka Quill', '2026-01-13'],
    ] as const)
      await district.enrol({ name, birthDate, isKnownToBeNew: true })
    await district.enrol({
      name: 'Asha Kesho',
      village: 'Kesho',
      birthDate: '2026-01-21',
      isKnownToBeNew: true,
    })
    return { district, phone }
  }

  test('by village and name, likeliest first, three a screen, with card, name and birth date and no more (requirement REG-04)', async () => {
    const { phone } = await fourLikeNames()
    await phone.dial('1', '1')
    expect(await phone.choose('Mbari')).toBe("Type the child's name.\n0 Back 00 Menu")

    const first = await phone.press('Asha')

    const lines = first.split('\n')
    expect(lines[0]).toBe('Which of these?')
    expect(lines[1]).toMatch(/^1 \d{4} \d{4} Asha Tue 20 Jan 2026$/)
    expect(lines.slice(1, -1).length).toBeLessThanOrEqual(3)
    for (const line of lines.slice(1, -1))
      expect(line).toMatch(/^[123] \d{4} \d{4} \S+ \w{3} \d{1,2} \w{3} 2026$/)
    expect(await phone.readOn()).not.toMatch(/Baraka|21 Jan/)
    // What broke off is begun anew.
    await phone.dial('2', '1', '1')
    await phone.choose('Mbari')
    expect(await phone.press('Asha')).toBe(first)
    expect(await phone.press('1')).toMatch(/^\d{4} \d{4} Asha\nWhich were given\?/)
  })

  test('for a report of a reaction as well', async () => {
    const { phone } = await fourLikeNames()
    await phone.dial('6', '1')
    await phone.choose('Mbari')

    expect(await phone.press('Baraka', '1')).toMatch(/^\d{4} \d{4} Baraka/)
  })

  test('and is told when nobody fits, or too little was typed', async () => {
    const { phone } = await fourLikeNames()
    await phone.dial('1', '1')
    await phone.choose('Mbari')

    for (const name of ['Zuberi', 'A']) {
      expect(await phone.press(name)).toMatch(/^No such child found\./)
      await phone.press('0')
    }
  })
})

describe('a vaccinator takes back', () => {
  test('by keys what was recorded by text, and by text what was recorded by keys', async () => {
    const { district, child, phone } = await aShift()
    await ask(district.vaccinator, `GAVE ${child.cardNumber} BOPV`)

    expect(await phone.dial('4')).toMatch(`Take back ${spaced(child.cardNumber)} BOPV?\n8 Yes`)
    expect(await phone.press('8')).toMatch(/^Taken back/)
    expect(await vaccinesOf(child)).toEqual([])
    await phone.press('00', '1', child.cardNumber, '1', '8')
    expect(await ask(district.vaccinator, 'UNDO')).toMatch(/^Taken back/)

    expect(await vaccinesOf(child)).toEqual([])
    expect(await phone.dial('0', '4')).toMatch(/nothing to take back/)
  })
})

test('a technique card is read page by page', async () => {
  const { phone } = await aShift()
  await phone.dial('7', '1')

  const card = (await phone.readOn()).replace(/\s+/g, ' ')

  expect(card).toMatch(/^Fractional IPV goes into the skin, not under it/)
  expect(card).toMatch(/Follow your national guideline\.$/)
})
