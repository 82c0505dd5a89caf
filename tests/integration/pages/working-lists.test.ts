/** The lists that make work move, from the page to the phone of who walks them, and what managers are told unasked. */
import { Readable } from 'node:stream'
import readXlsxFile from 'read-excel-file/node'
import { pageVisitor, fieldOf } from '../../support/page-server.ts'
import type { PageVisitor } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, newPhone, phoneOf } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-02T09:00+03:00')
const { clock, database, handset, inbox, ask, deliver, liveThrough } = service
beforeEach(service.empty)

const [FORD_PHONE, HILL_PHONE, MANAGER_PHONE] = [newPhone(), newPhone(), newPhone()]

/** Two posts with a vaccinator and a village each; the second one speaks French. */
async function twoPosts(): Promise<TestDistrict> {
  clock.moveTo('2026-03-02T09:00+03:00')
  return newDistrict(service, {
    posts: [
      { name: 'Ford', sessions: ['FREQ=WEEKLY;BYDAY=TU'] },
      { name: 'Hill', sessions: ['FREQ=WEEKLY;BYDAY=TU'] },
    ],
    villages: [
      { name: 'Mbari', post: 'Ford', population: 1000, birthsPer1000: 40, infantDeathsPer1000Births: 25 },
      { name: 'Sommet', post: 'Hill', population: 500, birthsPer1000: 40, infantDeathsPer1000Births: 25 },
    ],
    people: [
      { name: 'Wanda Ford', role: 'vaccinator', phone: FORD_PHONE, post: 'Ford' },
      { name: 'Hugo Hill', role: 'vaccinator', phone: HILL_PHONE, post: 'Hill', language: 'fr' },
      { name: 'Magnus Hill', role: 'manager', phone: MANAGER_PHONE },
    ],
  })
}

/** Both children were expected on Tuesday 10 March and did not come. */
async function twoMissed(): Promise<{ district: TestDistrict; ford: ChildJson; hill: ChildJson }> {
  const district = await twoPosts()
  const ford = await district.enrol({ birthDate: '2026-01-20', name: 'Asha Temba' })
  const hill = await district.enrol({ birthDate: '2026-01-20', name: 'Baraka Umoja', village: 'Sommet' })
  await liveThrough('2026-03-11T12:00+03:00')
  return { district, ford, hill }
}

async function managerOf(district: TestDistrict): Promise<PageVisitor> {
  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  return visitor
}

async function send(visitor: PageVisitor, { id }: TestDistrict, list: string, village = '') {
  const page = await visitor.get(`/districts/${id}/lists/${list}`)
  const formToken = fieldOf(page, 'formToken')
  return visitor.post(`/districts/${id}/lists/${list}/send`, { formToken, village })
}

const grouped = (card: string): string => `${card.slice(0, 4)} ${card.slice(4)}`

describe('a list sent by text', () => {
  test('brings each vaccinator the children of her own villages only, in her language', async () => {
    const { district, ford, hill } = await twoMissed()

    const { location } = await send(await managerOf(district), district, 'missed')
    await deliver()

    expect(inbox(FORD_PHONE).at(-1)).toBe(
      `Mbari: 1 child did not come.\n${grouped(ford.cardNumber)} Asha: BCG, BOPV, PENTA, PCV, ROTA`,
    )
    expect(inbox(HILL_PHONE).at(-1)).toBe(
      `Sommet: 1 enfant n'est pas venu.\n${grouped(hill.cardNumber)} Baraka: BCG, BOPV, PENTA, PCV, ROTA`,
    )
    expect(location).toContain('texts=2&workers=2')
  })

  test('says when a list is of newcomers, of zero-dose children or of expected ones', async () => {
    const district = await twoPosts()
    await district.enrol({ birthDate: '2025-09-01', name: 'Asha Temba' })
    const visitor = await managerOf(district)

    for (const list of ['due', 'zero-dose', 'moved-in']) await send(visitor, district, list)
    await deliver()

    const heads = inbox(FORD_PHONE).map((text) => text.split('\n')[0])
    expect(heads.slice(-3).sort()).toEqual([
      'Mbari: 1 child has newly come. Please ask for the card.',
      'Mbari: 1 child has not started the vaccines yet.',
      'Mbari: 1 child is expected until Mon 16 Mar.',
    ])
  })

  test('goes on in a further text after eight children, each saying its place, and names nobody in full', async () => {
    const district = await twoPosts()
    for (let count = 0; count < 9; count += 1)
      await district.enrol({ birthDate: '2026-01-20', name: `Asha${count} Temba`, isKnownToBeNew: true })
    await liveThrough('2026-03-11T12:00+03:00')

    await send(await managerOf(district), district, 'missed')
    await deliver()

    const texts = inbox(FORD_PHONE)
      .slice(-2)
      .map((text) => text.split('\n'))
    expect(
      new Map(texts.map(([head, ...lines]) => [/\(.*\)$/u.exec(head ?? '')?.[0], lines.length])),
    ).toEqual(
      new Map([
        ['(1/2)', 8],
        ['(2/2)', 1],
      ]),
    )
    expect(texts.join()).not.toContain('Temba')
  })

  test('is refused for a village without a vaccinator, and nothing is sent', async () => {
    const { district } = await twoMissed()
    await database.db.person.updateMany({ where: { phone: FORD_PHONE }, data: { isActive: false } })
    const before = inbox(FORD_PHONE).length

    const { status, text } = await send(
      await managerOf(district),
      district,
      'missed',
      district.villageId('Mbari'),
    )
    await deliver()

    expect([status, text.includes('No vaccinator is on record for Mbari')]).toEqual([409, true])
    expect(inbox(FORD_PHONE)).toHaveLength(before)
  })

  test('is kept with who sent it and how much', async () => {
    const { district } = await twoMissed()

    await send(await managerOf(district), district, 'missed')

    expect(await database.db.change.findFirst({ where: { act: 'send-list' } })).toMatchObject({
      districtId: district.id,
      after: { list: 'missed', texts: 2 },
    })
  })
})

describe('the list of whom to tell in person (requirement REM-05)', () => {
  /** Six children are expected; the family of one of them gets texts, and another wants no reminder at all. */
  async function sixExpected(): Promise<{ district: TestDistrict; names: () => Promise<string[]> }> {
    const district = await twoPosts()
    const isKnownToBeNew = true
    await district.enrol({ name: 'Texted Temba' })
    await district.enrol({ name: 'Phoneless Temba', phone: null, isKnownToBeNew })
    const stopped = await district.enrol({ name: 'Stopped Temba', isKnownToBeNew })
    await ask(phoneOf(stopped), 'STOP')
    const unreached = await district.enrol({ name: 'Unreached Temba', isKnownToBeNew })
    handset.treat(({ to }) => ({ arrives: to !== phoneOf(unreached) }))
    for (const word of ['WHEN', 'HELP', 'when?']) await handset.text(phoneOf(unreached), word)
    await deliver()
    handset.treat(() => ({}))
    const choices = { Asked: 'to-provider', Unwilling: 'none' }
    for (const [name, reminders] of Object.entries(choices))
      await service.call('POST', '/v1/children', {
        token: district.token,
        body: {
          villageId: district.villageId('Mbari'),
          name: `${name} Temba`,
          sex: 'female',
          birthDate: '2026-01-20',
          caregiver: { phone: newPhone(), reminders },
          isKnownToBeNew,
        },
      })
    const visitor = await managerOf(district)
    const names = async () => {
      const { text } = await visitor.get(`/districts/${district.id}/lists/to-tell.csv`)
      return [...text.matchAll(/(\w+) Temba/g)].map(([, name = '']) => name).sort()
    }
    return { district, names }
  }

  test('holds who has no phone, who stopped, who chose a worker and whom texts do not reach', async () => {
    const { names } = await sixExpected()

    expect(await names()).toEqual(['Asked', 'Phoneless', 'Stopped', 'Unreached'])
  })

  test('goes to the vaccinator of the village by text', async () => {
    const { district } = await sixExpected()

    await send(await managerOf(district), district, 'to-tell')
    await deliver()

    const [head, ...lines] = inbox(FORD_PHONE).at(-1)?.split('\n') ?? []
    expect(head).toBe('Mbari: please tell 4 families of the visit in person; they get no text.')
    expect(lines).toHaveLength(4)
    expect(lines[0]).toMatch(/: Tue 3 Mar, BCG, /)
  })
})

describe('a list as a file', () => {
  test('is a workbook whose rows are those of the CSV, and each download is logged', async () => {
    const { district } = await twoMissed()
    const visitor = await managerOf(district)

    const csv = await visitor.get(`/districts/${district.id}/lists/missed.csv`)
    const response = await fetch(`${service.address}/districts/${district.id}/lists/missed.xlsx`, {
      headers: { cookie: visitor.cookie() },
    })
    const [sheet] = await readXlsxFile(Readable.from([Buffer.from(await response.arrayBuffer())]))

    expect(sheet?.data.map((row) => row.map((cell) => cell ?? '').join(','))).toEqual(
      csv.text.trim().split(/\r?\n/),
    )
    expect(await database.db.change.count({ where: { act: 'download' } })).toBe(2)
  })

  test('holds exactly whom a recount of the whole register finds missed and overdue', async () => {
    const district = await twoPosts()
    const births = ['2026-01-20', '2026-01-13', '2025-06-02', '2026-02-20', '2025-03-01', '2026-01-27']
    const children = []
    for (const [place, birthDate] of births.entries()) {
      const village = place % 2 === 0 ? 'Mbari' : 'Sommet'
      children.push(await district.enrol({ birthDate, name: `Child${place} Temba`, village }))
    }
    await liveThrough('2026-03-10T12:00+03:00')
    await ask(FORD_PHONE, `GAVE ${children[0]?.cardNumber ?? ''} ALL`)
    await liveThrough('2026-03-18T12:00+03:00')

    const { text } = await (await managerOf(district)).get(`/districts/${district.id}/lists/missed.csv`)
    const listed = text
      .split(/\r?\n/)
      .slice(1, -1)
      .map((line) => line.split(',')[1])

    // The slow way: every child, its last visit that is over, and any dose since.
    const recounted = []
    for (const child of children) {
      const visits = await database.db.appointment.findMany({
        where: { childId: child.id, status: { in: ['kept', 'missed'] } },
        orderBy: { sessionOn: 'asc' },
      })
      const last = visits.at(-1)
      const doses = await database.db.dose.findMany({ where: { childId: child.id } })
      const cameSince = doses.some((dose) => last !== undefined && dose.givenOn >= last.sessionOn)
      if (last?.status === 'missed' && !cameSince) recounted.push(child.cardNumber)
    }
    expect(recounted.length).toBeGreaterThan(2)
    expect(listed.toSorted()).toEqual(recounted.toSorted())
  })
})

describe('a child missed for long', () => {
  test.each([
    [27, false],
    [28, true],
    [29, true],
  ])('%i days after the visit stands before the officer: %s', async (days, isListed) => {
    const { district, ford } = await twoMissed()
    clock.moveTo(new Date(Date.parse('2026-03-10T12:00+03:00') + days * 86_400_000).toISOString())
    // What was missed on 10 March stays the last visit that is over.
    await database.db.appointment.updateMany({
      where: { status: 'planned' },
      data: { status: 'cancelled', closedAt: clock.now() },
    })

    const { text } = await (await managerOf(district)).get(`/districts/${district.id}/lists/long-missed.csv`)

    expect(text.includes(ford.cardNumber)).toBe(isListed)
  })

  test('leaves that list when someone notes what became of it, and stays on the list of the missed', async () => {
    const { district, ford } = await twoMissed()
    clock.moveTo('2026-04-20T12:00+03:00')
    await database.db.appointment.updateMany({
      where: { status: 'planned' },
      data: { status: 'cancelled', closedAt: clock.now() },
    })
    const visitor = await managerOf(district)
    const listOf = async (list: string) =>
      (await visitor.get(`/districts/${district.id}/lists/${list}.csv`)).text.includes(ford.cardNumber)
    expect(await listOf('long-missed')).toBe(true)

    const page = await visitor.get(`/districts/${district.id}/lists/long-missed`)
    await visitor.post(`/districts/${district.id}/children/${ford.id}/outcome`, {
      formToken: fieldOf(page, 'formToken'),
      outcome: 'found',
      reason: 'mother was ill',
    })

    expect([await listOf('long-missed'), await listOf('missed')]).toEqual([false, true])
  })
})

describe('the words of a parent', () => {
  test('wait with their age until someone notes what was done, and leave the list then', async () => {
    const { district, ford } = await twoMissed()
    await ask(phoneOf(ford), 'we had no money for the bus')
    let visitor = await managerOf(district)
    const waiting = async () => (await visitor.get(`/districts/${district.id}/data-check`)).text
    expect(await waiting()).toContain('we had no money for the bus')
    expect(await waiting()).not.toContain('waits for')

    clock.moveTo('2026-03-15T12:00+03:00')
    visitor = await managerOf(district)
    expect(await waiting()).toContain('waits for 4 days')
    const [, itemId = ''] = /waiting\/([^/]+)\/done/.exec(await waiting()) ?? []
    const formToken = fieldOf(await visitor.get(`/districts/${district.id}/data-check`), 'formToken')
    const done = () =>
      visitor.post(`/districts/${district.id}/waiting/${itemId}/done`, {
        formToken,
        outcome: 'outreach day set',
      })

    expect((await done()).status).toBe(303)
    expect(await waiting()).not.toContain('we had no money for the bus')
    expect((await done()).status).toBe(404)
  })
})

describe('the month', () => {
  test('that ended is told each manager in one text, once, also when the service was down at its turn', async () => {
    const { district, ford } = await twoMissed()
    await ask(FORD_PHONE, `GAVE ${ford.cardNumber} ALL`)
    const before = inbox(MANAGER_PHONE).length

    clock.moveTo('2026-04-05T09:00+03:00')
    await service.closeDay()
    await service.closeDay()
    clock.moveTo('2026-04-06T09:00+03:00')
    await deliver()

    expect(inbox(MANAGER_PHONE).slice(before)).toEqual([
      `Coverage, ${district.file.district.name}, 03/2026:\nPENTA 1 20.5% (1 of 5)\nPENTA 3 0.0% (0 of 5)\nMR 1 0.0% (0 of 5)\n1 child to be found`,
    ])
  })

  test('without a dose is passed over', async () => {
    await twoPosts()
    const before = inbox(MANAGER_PHONE).length

    clock.moveTo('2026-04-06T09:00+03:00')
    await service.closeDay()
    await deliver()

    expect(inbox(MANAGER_PHONE)).toHaveLength(before)
  })

  test('stands on one page: doses by village, sessions held, why doses were not given', async () => {
    const { district, ford, hill } = await twoMissed()
    await ask(FORD_PHONE, `GAVE ${ford.cardNumber} ALL 10/03/2026`)
    await ask(HILL_PHONE, `PASDONNE ${hill.cardNumber} PENTA malade`)
    const { status, text } = await (await managerOf(district)).get(`/districts/${district.id}/months/2026-03`)
    const read = text.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ')

    expect(status).toBe(200)
    expect(read).toContain('Mbari 1 ')
    expect(read).toMatch(/Ford: 1 of 2/)
    expect(read).toContain('Sommet: ill, 1')
  })
})

describe('how entries are made', () => {
  test('is shown by post and month: told within 1, 7 and 30 days, and complete records', async () => {
    const { district, ford } = await twoMissed()
    await district.enrol({ birthDate: '2026-03-01', name: 'Chema Umoja', phone: null })
    await ask(FORD_PHONE, `GAVE ${ford.cardNumber} BCG 05/03/2026`)
    await ask(FORD_PHONE, `GAVE ${ford.cardNumber} BOPV`)

    const { text } = await (await managerOf(district)).get(`/districts/${district.id}/data-check`)
    const read = text.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ')

    // Two doses, one of them told on its day and both within a week; two children enrolled, one without a phone.
    expect(read).toContain('Ford 3/2026 2 1 2 2 2 1')
    expect(read).toContain('Hill 3/2026 0 0 0 0 1 1')
  })

  test('counts who is no longer followed, by reason', async () => {
    const { district, ford, hill } = await twoMissed()
    for (const [phone, { cardNumber }] of [
      [FORD_PHONE, ford],
      [HILL_PHONE, hill],
    ] as const)
      await ask(phone, `VISIT ${cardNumber} moved`)

    const { text } = await (await managerOf(district)).get(`/districts/${district.id}/data-check`)

    expect(text.replace(/\s+/g, ' ')).toMatch(/moved, [^:]*: 2/)
  })
})

describe('the page of texts', () => {
  test('tells the parts a child takes in a year, and how many texts wait to leave', async () => {
    const { district } = await twoMissed()
    await liveThrough('2026-03-20T12:00+03:00')
    const sent = await database.db.textOut.aggregate({
      where: { purpose: 'reminder' },
      _sum: { parts: true },
    })
    // Two families are texted; thirty days are 30/365.25 of a year.
    const expected = ((sent._sum.parts ?? 0) / 2) * (365.25 / 30)
    await database.db.textOut.updateMany({
      where: { purpose: 'reminder' },
      data: { status: 'waiting', gateway: null, handedAt: null, settledAt: null },
    })
    const waiting = await database.db.textOut.count({ where: { status: 'waiting' } })

    const { text } = await (await managerOf(district)).get(`/districts/${district.id}/texts`)
    const read = text.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ')

    expect(expected).toBeGreaterThan(0)
    expect(read).toContain(`For a child ${expected.toFixed(1)} parts a year`)
    expect(read).toContain(`Not left yet ${waiting} texts`)
  })
})
