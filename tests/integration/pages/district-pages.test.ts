/** The pages of a district on the district counted by hand (docs/indicators.md), and whom they are for. */
import { readFileSync } from 'node:fs'
import { makeToken } from '../../../src/app/tokens.ts'
import type { TokenRole } from '../../../src/app/tokens.ts'
import { closePassedVisits } from '../../../src/app/close-passed-visits.ts'
import { newSecret } from '../../../src/platform/ids.ts'
import { fieldOf, loadTestDistrict, openPageServer, takeRegister } from '../../support/page-server.ts'
import type { PageVisitor } from '../../support/page-server.ts'
import { scheduleFromFile } from '../../support/schedules.ts'
import { childNamed } from '../../support/child-named.ts'

const START = '2026-11-25T08:00Z'
const schedule = scheduleFromFile('tests/fixtures/coverage/schedule.json')
const server = await openPageServer(START, [schedule])
const { clock, database, deps } = server
const { db } = database

const fixture = (name: string) => readFileSync(`tests/fixtures/coverage/${name}`, 'utf8')

let districtId = ''
let otherId = ''
let manager: PageVisitor = server.visitor()
const path = (page: string) => `/districts/${districtId}${page}`

beforeAll(async () => {
  const file = JSON.parse(fixture('district.json')) as object
  districtId = (await loadTestDistrict(server, file)).id
  await takeRegister(server, districtId, fixture('register.csv'))
  otherId = (await loadTestDistrict(server, OTHER)).id
  await takeRegister(server, otherId, OTHER_REGISTER)
  manager = await visitorWith('manager', districtId)
})

const OTHER = {
  district: { name: 'Far Hills', timeZone: 'Africa/Nairobi', region: 'GB', schedule: schedule.id },
  posts: [{ name: 'Hill post', sessions: ['FREQ=WEEKLY;BYDAY=TU'] }],
  villages: [{ name: 'Cold Spring', post: 'Hill post' }],
}
const OTHER_REGISTER = [
  'card_number,name,sex,birth_date,village,phone,language,BCG',
  ',Secret Child,female,2026-01-05,Cold Spring,07700900700,en,2026-01-06',
].join('\n')

async function visitorWith(role: TokenRole, district: string | null): Promise<PageVisitor> {
  const wish = { name: `the ${role}`, role, districtId: district, expiresAt: null }
  const { secret } = await makeToken(deps, newSecret, wish)
  const visitor = server.visitor()
  await visitor.post('/sign-in/token', { token: secret, next: '/district' })
  return visitor
}

/** The text of a page as one reads it: no tags, single spaces. */
async function textOf(page: string, visitor = manager): Promise<string> {
  const { status, text } = await visitor.get(path(page))
  expect([page, status]).toEqual([page, 200])
  const body = text.slice(text.indexOf('<main'), text.indexOf('</main>'))
  return body
    .replace(/<svg[\s\S]*?<\/svg>|<details[\s\S]*?<\/details>/g, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&quot;/g, '"')
    .replace(/\s+/g, ' ')
    .replace(/ (?=[,:])/g, '')
    .trim()
}

/** The rows of the first table of a page, cells parted by bars. */
async function rowsOf(page: string): Promise<string[]> {
  const { text } = await manager.get(path(page))
  const [, body = ''] = /<tbody>([\s\S]*?)<\/tbody>/.exec(text) ?? []
  return body.split('</tr>').flatMap((row) => {
    const cells = row.split(/<\/t[hd]>/).map((cell) =>
      cell
        .replace(/<[^>]*>/g, ' ')
        .replace(/\s+/g, ' ')
        .trim(),
    )
    return cells.length < 2
      ? []
      : cells
          .slice(0, -1)
          .join('|')
          .replace(/&quot;/g, '"')
  })
}

const PAGES = [
  '',
  '/coverage',
  '/coverage?dose=MR.1&window=born-2025&age=12m&measure=timely&target=enrolled&sort=village&order=down',
  '/coverage?by=level-1&shape=now',
  '/coverage?detail=every-dose&column=target&column=valid&sort=target&order=down',
  '/months/2026-10?with=2026-09',
  '/doses',
  '/progress',
  '/progress?year=2025',
  '/map',
  '/sessions',
  '/sessions/2026-11-30',
  '/vials',
  '/lists',
  '/lists/due',
  '/lists/missed',
  '/lists/zero-dose',
  '/lists/moved-in',
  '/lists/to-tell',
  '/texts',
  '/data-check',
  '/doubles',
  '/people',
  '/tokens',
  '/own-sessions',
  '/posts',
  '/schedule',
]
const FILES = [
  '/register.csv',
  '/register.xlsx',
  '/coverage.csv',
  '/coverage-table.csv',
  '/lists/due.csv',
  '/lists/missed.csv',
  '/lists/zero-dose.csv',
]

describe('who may read', () => {
  test.each([...PAGES, ...FILES])('%s asks a stranger to sign in', async (page) => {
    const { status, location } = await server.visitor().get(path(page))

    expect([status, location.startsWith('/sign-in?next=')]).toEqual([303, true])
  })

  test.each([...PAGES, ...FILES])('%s of another district is not there for a manager', async (page) => {
    const { status, text } = await manager.get(`/districts/${otherId}${page}`)

    expect(status).toBe(404)
    expect(text).not.toMatch(/Far Hills|Secret Child/)
  })

  test('a child, a village and their names are not found through a district they are not of', async () => {
    const { villageId, id } = await childNamed(db, 'Secret Child')
    const ways = [
      `/children/${id}`,
      `/children/${id}/record`,
      `/villages/${villageId}`,
      `/villages/${villageId}/children`,
    ]
    const asked = [...ways, `/lists/missed?village=${villageId}`, `/progress?village=${villageId}`]

    for (const way of asked) {
      const { status, text } = await manager.get(path(way))
      expect([way, status]).toEqual([way, 404])
      expect(text).not.toContain('Cold Spring')
    }
  })

  test('who got what of a child tells of the pages, lists and files that named it', async () => {
    const { id } = await childNamed(db, 'Gele Heron')
    const { villageId } = await childNamed(db, 'Gele Heron')
    await manager.get(path(`/villages/${villageId}/children`))
    await manager.get(path('/register.xlsx'))

    const { status, text } = await manager.get(path(`/children/${id}/record`))

    expect(status).toBe(200)
    for (const page of [`/villages/${villageId}/children`, '/register.xlsx'])
      expect(text).toContain(`${page}, among others`)
  })

  test('a manager notes nothing of a child of another district', async () => {
    const id = (await childNamed(db, 'Secret Child')).id
    const formToken = fieldOf(await manager.get(path('/lists')), 'formToken')
    const fields = { formToken, outcome: 'died', reason: '' }

    expect((await manager.post(path(`/children/${id}/outcome`), fields)).status).toBe(404)
    expect((await manager.post(`/districts/${otherId}/children/${id}/outcome`, fields)).status).toBe(404)
    expect(await db.child.findUnique({ where: { id } })).toMatchObject({ status: 'active' })
  })

  test('an officer of no one district chooses, and reads each', async () => {
    const officer = await visitorWith('officer', null)

    const { text } = await officer.get('/district')

    expect(text).toContain('Far Hills')
    expect(text).toContain('Two Rivers')
    expect((await officer.get(`/districts/${otherId}`)).status).toBe(200)
  })

  test('an address that names nothing is a page that says so', async () => {
    expect((await manager.get('/districts/somewhere')).status).toBe(404)
    expect((await manager.get(path('/children/42'))).status).toBe(404)
    expect((await manager.get(path('/sessions/tomorrow'))).status).toBe(400)
    expect((await manager.get(path('/lists/heights'))).status).toBe(404)
    expect((await manager.get(path('/vials/999'))).status).toBe(404)
    expect((await manager.get(path('/vials/some'))).status).toBe(404)
  })

  test('every reading and every file taken away is noted with who and what', async () => {
    await manager.get(path('/lists/zero-dose'))
    await manager.get(path('/coverage.csv?window=born-2025'))

    const [file, page] = await db.change.findMany({ where: { districtId }, orderBy: { id: 'desc' }, take: 2 })
    expect(page).toMatchObject({ act: 'view', after: { page: path('/lists/zero-dose') } })
    expect(file).toMatchObject({ act: 'download', after: { page: path('/coverage.csv?window=born-2025') } })
    expect(page?.actor).toBe(file?.actor)
  })
})

describe('coverage', () => {
  test('shows the counts of the hand-computed district side by side', async () => {
    // docs/indicators.md, "born 2025", BCG: 10, 8 and 8 children over 16, 10 and 6 live births; child 8 had it late.
    expect(await rowsOf('/coverage?dose=BCG.1&window=born-2025&sort=village')).toEqual([
      'Amber Ford|16|62.5 % 10|62.5 % 10|56.3 % 9|',
      'High Elms, Upper|10|80.0 % 8|80.0 % 8|80.0 % 8|',
      'Tall "Reeds"|6|8/6|8/6|8/6|over 100 %; few children',
    ])
  })

  test('never shows a bare percentage of few children, and gives Wilson’s interval', async () => {
    // 8 of 9.5 by E. B. Wilson 1927, z = 1.96: 0.7436 ± 0.2191, computed by hand from the formula.
    const rows = await rowsOf('/coverage?dose=PENTA.3&window=born-2025&sort=village')

    expect(rows[2]).toMatch(/^Tall "Reeds"\|5.7\|6\/5.7\|/)
    expect(rows[1]).toMatch(/^High Elms, Upper\|9.5\|8\/9.5 52.5–96.3 %\|/)
  })

  test.each([
    ['sort=village&order=down', ['Tall "Reeds"', 'High Elms, Upper', 'Amber Ford']],
    ['sort=crude&order=up', ['Amber Ford', 'High Elms, Upper', 'Tall "Reeds"']],
    ['sort=target&order=down', ['Amber Ford', 'High Elms, Upper', 'Tall "Reeds"']],
  ])('stands in the order of %s', async (query, order) => {
    const rows = await rowsOf(`/coverage?dose=BCG.1&window=born-2025&${query}`)

    expect(rows.map((row) => row.split('|')[0])).toEqual(order)
  })

  test('says what is counted, against what, and as of when', async () => {
    const text = await textOf('/coverage?dose=MR.1&window=born-2025&age=12m&measure=valid&target=enrolled')
    expect(text).toContain(
      'Valid doses of children born in 2025, before the first birthday, against the children on the register.',
    )
    expect((await manager.get(path('/coverage'))).text).toContain('Wed 25 Nov 2026, 11:00, local time')
  })

  test('puts each village into its kind of problem', async () => {
    // Born 2025: PENTA 1 to PENTA 3 are 9 to 9, 9 to 8 and 7 to 6 over 15.2, 9.5 and 5.7.
    const text = await textOf('?window=born-2025')

    expect(text).toMatch(/2 utilisation .* High Elms, Upper, Tall "Reeds" 3 access .* Amber Ford 4 both/)
  })

  test('a village without a target has counts, no percentage, and leaves the district without one', async () => {
    const officer = await visitorWith('officer', null)
    const { text } = await officer.get(`/districts/${otherId}/coverage?dose=BCG.1`)

    expect(text).toContain('no target')
    expect(text).not.toMatch(/\d %<\/td>/)
  })

  test('as a file has the columns of the command and the district as a whole last', async () => {
    const { text, headers } = await manager.get(path('/coverage.csv?window=born-2025'))
    const lines = text.trim().split('\n')

    expect(headers.get('content-type')).toBe('text/csv; charset=utf-8')
    expect(lines[0]).toBe('village,series,dose,numerator,denominator,coverage_percent,flags')
    expect(lines[1]).toBe('Amber Ford,BCG,1,10,16.0,62.5,')
    expect(lines.at(-1)).toMatch(/^ALL,MR,2,/)
  })

  test('by area adds up the villages, on the page and in the file', async () => {
    const file = JSON.parse(fixture('district.json')) as { villages: readonly object[] }
    const areas = [{ name: 'Upland' }, { name: 'Lowland' }]
    const villages = file.villages.map((village, place) => ({
      ...village,
      area: areas[place === 2 ? 1 : 0]?.name,
    }))
    await loadTestDistrict(server, { ...file, areas, villages })

    // 10 + 8 of 16 + 10 births, and 8 of 6.
    const query = 'by=level-1&dose=BCG.1&window=born-2025'
    expect(await rowsOf(`/coverage?${query}&sort=village`)).toEqual([
      'Lowland|6|8/6|8/6|8/6|over 100 %; few children',
      'Upland|26|69.2 % 18|69.2 % 18|65.4 % 17|',
    ])
    expect((await manager.get(path(`/coverage.csv?${query}`))).text).toContain(
      '\nUpland,1,BCG,1,18,26.0,69.2,\n',
    )
    expect((await manager.get(path('/coverage'))).text).toContain('areas, level 1')
  })

  test('by area is answered by the API as the page shows it', async () => {
    const wish = { name: 'a reader', role: 'manager', districtId, expiresAt: null } as const
    const { secret } = await makeToken(deps, newSecret, wish)
    const address = `${server.address}/v1/districts/${districtId}/coverage?by=area&level=1&shape=now&cohort=2025`
    const answer = await fetch(address, { headers: { authorization: `Bearer ${secret}` } })
    expect(await answer.json()).toMatchObject({
      level: 1,
      shape: 'now',
      rows: expect.arrayContaining([
        expect.objectContaining({ area: 'Upland', level: 1, series: 'BCG', numerator: 18, denominator: 26 }),
      ]) as object[],
    })
  })

  test('stands in the columns and lines that the address says, on the page and in its file', async () => {
    const few = 'dose=BCG.1&window=born-2025&column=valid&column=target&sort=target&order=down'
    expect(await rowsOf(`/coverage?${few}`)).toEqual([
      'Amber Ford|16|62.5 % 10',
      'High Elms, Upper|10|80.0 % 8',
      'Tall "Reeds"|6|8/6',
    ])
    const file = (await manager.get(path(`/coverage-table.csv?${few}`))).text
    expect(
      file
        .replace(/^\uFEFF/, '')
        .trim()
        .split('\r\n'),
    ).toEqual([
      'place,series,dose,target,valid,valid_percent',
      'Amber Ford,BCG,1,16.0,10,62.5',
      '"High Elms, Upper",BCG,1,10.0,8,80.0',
      '"Tall ""Reeds""",BCG,1,6.0,8,133.3',
      'Two Rivers,BCG,1,32.0,26,81.3',
    ])
    const { text } = await manager.get(path(`/coverage?${few}`))
    expect(text).toMatch(
      /column=target&(amp;)?column=valid&(amp;)?dose=BCG.1&(amp;)?sort=valid&(amp;)?order=up/,
    )
  })

  test('shows every dose in each place, or in the district alone', async () => {
    // Six numbered doses of the schedule in three villages; MR 2 nobody had.
    expect(await rowsOf('/coverage?detail=every-dose&window=born-2025')).toHaveLength(18)
    const { text } = await manager.get(
      path('/coverage-table.csv?detail=district&window=born-2025&column=crude'),
    )
    const lines = text.trim().split('\r\n')
    expect(lines.map((line) => line.split(',').slice(1, 4).join(' '))).toEqual([
      'series dose crude',
      'BCG 1 26',
      'PENTA 1 25',
      'PENTA 2 24',
      'PENTA 3 23',
      'MR 1 21',
      'MR 2 0',
    ])
  })

  test('of a month stands beside another one', async () => {
    // PENTA 1 in Amber Ford: 10 and 16 June, 14 July 2025; all villages: five in June, two in July (the fixture's register).
    const text = await textOf('/months/2025-07?with=2025-06')
    expect(text).toContain('Doses given in 2025-06 and in 2025-07.')
    expect(text).toMatch(/2025-06 2025-07 Change .*Amber Ford 2 1 -1 .*All 5 2 -3 /)
  })

  test('the names behind a figure are as many as the figure says', async () => {
    const { id } = await db.village.findFirstOrThrow({ where: { name: 'Amber Ford' } })

    // Twelve children, of whom 5, 9 and 10 lack the first measles dose on record (hand-computed table: 8 have it).
    expect(await textOf(`/villages/${id}/children?dose=MR.1`)).toContain('12 listed, 8 of them with the dose')
    expect(await textOf(`/villages/${id}/children?dose=MR.1&had=no`)).toContain('4 listed, 0 of them')
  })
})

describe('progress', () => {
  test('adds up the doses of a year against an even target', async () => {
    // 30.4 surviving infants a year, a twelfth each month (WHO 2018 facility data guide).
    const rows = await rowsOf('/progress?year=2026')
    expect(rows[0]).toMatch(/^Jan\|2.5\|/)
    expect(rows).toHaveLength(11)
  })
})

describe('lists', () => {
  test('the zero-dose list holds exactly those late for their first DTP-containing dose', async () => {
    const text = await textOf('/lists/zero-dose')

    // Children 9, 10 and 30 of the hand-computed district.
    expect(text).toContain('3 children')
    for (const name of ['Ife Jasper', 'Jomo Kestrel', 'Dayo Gorse']) expect(text).toContain(name)
  })

  test('a child who missed a visit is listed until it is noted what came of looking for it', async () => {
    await closePassedVisits(deps)
    clock.advance({ days: 14 })
    await closePassedVisits(deps)
    manager = await visitorWith('manager', districtId)
    expect(await textOf('/lists/missed')).toContain('Femi Grove')

    const id = (await childNamed(db, 'Femi Grove')).id
    const formToken = fieldOf(await manager.get(path('/lists/missed')), 'formToken')
    const fields = { formToken, outcome: 'moved', reason: 'to the coast, says the neighbour' }
    const { status } = await manager.post(path(`/children/${id}/outcome`), fields)

    expect(status).toBe(303)
    expect(await textOf('/lists/missed')).not.toContain('Femi Grove')
    expect(await textOf(`/children/${id}`)).toMatch(/moved, Wed 9 Dec 2026: to the coast, says the neighbour/)
    const change = await db.change.findFirstOrThrow({ where: { subjectId: id }, orderBy: { id: 'desc' } })
    expect(change).toMatchObject({ act: 'status', before: { status: 'active' } })
  })

  test('as a file keeps words from being formulas and days in ISO form', async () => {
    const headers = { cookie: manager.cookie() }
    const file = await fetch(`${server.address}${path('/lists/zero-dose.csv')}`, { headers })
    const lines = Buffer.from(await file.arrayBuffer())
      .toString('utf8')
      .split('\r\n')

    expect(lines[0]).toBe('\uFEFFvillage,card_number,name,birth_date,day,vaccines,phones,last_word')
    expect(lines[1]).toMatch(/,\d{8},[\w ]+,\d{4}-\d\d-\d\d,\d{4}-\d\d-\d\d,,(\+44\d+)?,/)
  })

  test('a session has its children by village, with cards and vaccines', async () => {
    const { sessionOn } = await db.appointment.findFirstOrThrow({ where: { districtId, status: 'planned' } })
    const planned = await db.appointment.findMany({ where: { districtId, status: 'planned', sessionOn } })

    const text = await textOf(`/sessions/${sessionOn.toISOString().slice(0, 10)}`)

    expect(text).toContain(`${planned.length} children expected`)
    expect(text).toMatch(/Remark \d{4} \d{4} /)
  })

  test('a child is found by its card and by its family’s phone', async () => {
    const { cardNumber } = await childNamed(db, 'Rudo Stone')

    expect(await textOf(`/find?find=${cardNumber}`)).toContain('Rudo Stone')
    expect(await textOf('/find?find=07700900117')).toContain('Rudo Stone')
    expect(await textOf('/find?find=07700900700')).toContain('No child of Two Rivers')
  })

  test('is found by two facts or parts of them, and one fact is asked to be joined by another', async () => {
    expect(await textOf('/find?name=Rudoh+Ston&birth=202')).toContain('write more of it or leave it out')
    expect(await textOf('/find?name=Rudoh+Ston')).toContain('Say one more of')
    const { birthOn } = await childNamed(db, 'Rudo Stone')
    const found = await textOf(
      `/find?name=Rudoh+Ston&birth=${birthOn.getUTCFullYear()}&village=&sex=&phone=&card=`,
    )
    expect(found).toContain('Likeliest first')
    expect(found).toContain('Rudo Stone')
    expect(found).not.toContain('Secret Child')
  })

  test('a child’s page says of each dose what it counts for and why', async () => {
    // Child 7: the second dose came at 8 weeks, too young and too soon; the third counts as the second.
    const text = await textOf(`/children/${(await childNamed(db, 'Gele Heron')).id}`)

    expect(text).toMatch(/PENTA on 2025-03-17 does not count as PENTA 2: not before/)
    expect(text).toMatch(/PENTA on 2025-04-28 counts as PENTA 2/)
  })
})

describe('the data check', () => {
  test('tells by whom children got their doses', async () => {
    expect(await textOf('/data-check')).toMatch(/Village Own post .* Not told Amber Ford \d+ \d+ \d+ \d+/)
  })

  test('names doses that do not count, by village and reason', async () => {
    clock.moveTo('2026-01-20T08:00Z')
    manager = await visitorWith('manager', districtId)

    const text = await textOf('/data-check')

    expect(text).toContain('Amber Ford: 2 too young')
  })

  test('calls a post silent that reported nothing on its days', async () => {
    expect(await textOf('/data-check')).toMatch(/Ford post 4 0 0 silent/)
  })
})

describe('what a family asks for on the page of its child', () => {
  const other = (page: string) => `/districts/${otherId}${page}`

  test('sharing is barred and allowed again, and the record keeps who asked each time', async () => {
    const { id } = await childNamed(db, 'Secret Child')
    const own = await visitorWith('manager', otherId)
    const ask = async (barred: string, askedBy: string) => {
      const formToken = fieldOf(await own.get(other(`/children/${id}`)), 'formToken')
      return own.post(other(`/children/${id}/sharing`), { formToken, barred, askedBy })
    }

    expect((await ask('true', 'mother')).status).toBe(303)
    expect((await own.get(other(`/children/${id}`))).text).toContain(
      'Other systems are not told of this child',
    )
    expect((await ask('false', 'guardian')).status).toBe(303)

    const { text } = await own.get(other(`/children/${id}/record`))
    expect(text).toMatch(/allow sharing<\/td>\s*<td>guardian[\s\S]*bar sharing<\/td>\s*<td>mother/)
    expect(
      (await own.post(other(`/children/${id}/sharing`), { barred: 'true', askedBy: 'mother' })).status,
    ).toBe(403)
  })

  test('a child is removed by an officer only, who says why, for whom and that it is meant', async () => {
    const { id } = await childNamed(db, 'Secret Child')
    const [own, officer] = [await visitorWith('manager', otherId), await visitorWith('officer', otherId)]
    const erase = async (visitor: PageVisitor, sure: object) => {
      const formToken = fieldOf(await visitor.get(other(`/children/${id}`)), 'formToken')
      const fields = { formToken, reason: 'family-asked', askedBy: 'mother', ...sure }
      return (await visitor.post(other(`/children/${id}/erase`), fields)).status
    }

    expect((await own.get(other(`/children/${id}`))).text).not.toContain('It cannot be undone')
    expect(await erase(own, { sure: 'yes' })).toBe(403)
    expect(await erase(officer, {})).toBe(400)
    expect(await erase(officer, { sure: 'yes' })).toBe(303)

    expect((await officer.get(other(`/children/${id}`))).status).toBe(404)
    expect(await db.child.findUniqueOrThrow({ where: { id } })).toMatchObject({ name: '' })
    expect(await db.change.count({ where: { act: 'erase', subjectId: id } })).toBe(1)
  })
})
