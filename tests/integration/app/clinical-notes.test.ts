/** A child with a plan of its own, as a clinician decided (requirements SCH-06, SCH-09). */
import { z } from 'zod'
import { pageVisitor, fieldOf } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { scheduleData } from '../../support/schedules.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { ask, call, clock, database, inbox, liveThrough } = service
beforeEach(service.empty)

/** Six weeks old on the day before the session of Tuesday 10 March 2026. */
async function aChild(): Promise<{ district: TestDistrict; child: ChildJson }> {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  return { district, child: await district.enrol({ birthDate: '2026-01-20' }) }
}

const note = ({ token }: TestDistrict, { id }: ChildJson, decision: object) =>
  call('POST', `/v1/children/${id}/clinical-notes`, {
    token,
    body: { decision, reason: 'Fever of unknown cause', decidedBy: 'District clinical officer' },
  })

const putOff = (district: TestDistrict, child: ChildJson, vaccine: string, until: string) =>
  note(district, child, { kind: 'put-off', vaccine, until })

/** Publishes a schedule file, changed a little. */
async function publish(file: string, change: object): Promise<void> {
  const rules = z.looseObject({}).parse(scheduleData(file))
  const token = await service.tokenFor('officer')
  expect(await call('POST', '/v1/schedules', { token, body: { ...rules, ...change } })).toMatchObject({
    status: 201,
  })
}

let published = 0

/** A district whose schedule asks for risks. */
async function districtWithRisks(): Promise<TestDistrict> {
  published += 1
  const schedule = `with-risks-${published}`
  await publish('tests/fixtures/schedules/who-ig/pcv-2p1.json', { id: schedule })
  return newDistrict(service, { district: { schedule } })
}

const vaccinesOf = ({ appointment }: ChildJson) => appointment?.doses.map(({ vaccine }) => vaccine) ?? []

const dueOf = async ({ token }: TestDistrict, { id }: ChildJson, vaccine: string) => {
  const { body } = await call('GET', `/v1/children/${id}/forecast`, { token })
  const { next } = z
    .object({ next: z.array(z.looseObject({ vaccine: z.string(), due: z.string() })) })
    .parse(body)
  return next.find((row) => row.vaccine === vaccine)?.due
}

test('a vaccine put off leaves the visit and comes back on its day', async () => {
  const { district, child } = await aChild()
  expect(vaccinesOf(child)).toContain('PENTA')

  expect(await putOff(district, child, 'PENTA', '2026-04-01')).toMatchObject({ status: 201 })

  expect(vaccinesOf(await district.child(child.id))).not.toContain('PENTA')
  expect(await dueOf(district, child, 'PENTA')).toBe('2026-04-01')
  expect(await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)).not.toMatch(/PENTA/)
})

test('ended before its time the schedule alone counts again, and both stand on record', async () => {
  const { district, child } = await aChild()
  const { body } = await putOff(district, child, 'PENTA', '2026-04-01')
  const { id } = z.looseObject({ id: z.string() }).parse(body)

  const ended = await call('POST', `/v1/children/${child.id}/clinical-notes/${id}/end`, {
    token: district.token,
    body: {},
  })

  expect(ended).toMatchObject({ status: 200, body: { notes: [{ id, endedOn: '2026-03-04' }] } })
  expect(vaccinesOf(await district.child(child.id))).toContain('PENTA')
  const acts = await database.db.change.findMany({
    where: { subjectId: child.id },
    orderBy: { happenedAt: 'asc' },
  })
  expect(acts.map(({ act }) => act)).toEqual(expect.arrayContaining(['note-decision', 'end-decision']))
})

test('survives an update of the schedule and is listed for review', async () => {
  const { district, child } = await aChild()
  await putOff(district, child, 'PENTA', '2026-05-01')

  const used = await database.db.district.findUniqueOrThrow({ where: { id: district.id } })
  await publish(`src/data/schedules/${used.scheduleCode}.json`, {
    version: 'next',
    effectiveFrom: '2026-03-05',
  })
  await liveThrough('2026-03-06T12:00+03:00')

  const { body } = await call('GET', `/v1/children/${child.id}/forecast`, { token: district.token })
  expect(body).toMatchObject({ version: 'next' })
  expect(await dueOf(district, child, 'PENTA')).toBe('2026-05-01')
  const listed = await call('GET', `/v1/districts/${district.id}/clinical-notes`, { token: district.token })
  expect(listed.body).toMatchObject({ notes: [{ childId: child.id, decision: { vaccine: 'PENTA' } }] })
})

test('a risk on changes the forecast, off brings it back', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await districtWithRisks()
  // Three doses, the booster at nine months: with HIV one more is asked for (WHO pneumococcal footnotes).
  const child = await district.enrol({ birthDate: '2025-03-20' })
  for (const givenOn of ['2025-05-10', '2025-07-10', '2025-12-25'])
    await call('POST', `/v1/children/${child.id}/doses`, {
      token: district.token,
      body: { vaccines: ['PCV'], givenOn },
    })
  const plain = await dueOf(district, child, 'PCV')

  const { body } = await note(district, child, { kind: 'risk', risk: 'hiv' })
  const { id } = z.looseObject({ id: z.string() }).parse(body)
  const atRisk = await dueOf(district, child, 'PCV')
  await call('POST', `/v1/children/${child.id}/clinical-notes/${id}/end`, { token: district.token, body: {} })

  expect(plain).toBeUndefined()
  expect(atRisk).toMatch(/^2026-/)
  expect(await dueOf(district, child, 'PCV')).toBeUndefined()
})

test('a risk that no rule asks for, a past day and an unknown vaccine are refused', async () => {
  const { district, child } = await aChild()

  expect(await note(district, child, { kind: 'risk', risk: 'tall' })).toMatchObject({
    status: 422,
    body: { code: 'risk-unknown' },
  })
  expect(await putOff(district, child, 'PENTA', '2026-03-04')).toMatchObject({
    body: { code: 'put-off-past' },
  })
  expect(await putOff(district, child, 'XYZZY', '2026-05-01')).toMatchObject({
    body: { code: 'vaccine-unknown' },
  })
})

test('what a clinician decided stands in no text and is sealed in the database', async () => {
  const { district, child } = await aChild()
  await putOff(district, child, 'PENTA', '2026-04-01')

  await liveThrough('2026-04-14T12:00+03:00')

  expect(inbox(phoneOf(child)).join()).not.toMatch(/fever of unknown/i)
  const { rows } = await database.pool.query(
    'select n.reason, n.decision::text, c.own_plan::text from clinical_note n join child c on c.id = n.child_id',
  )
  expect(rows).toHaveLength(1)
  expect(JSON.stringify(rows)).not.toMatch(/Fever|PENTA/)
})

test('is written down and ended on the page of the child', async () => {
  const { district, child } = await aChild()
  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  const path = `/districts/${district.id}/children/${child.id}`

  const formToken = fieldOf(await visitor.get(path), 'formToken')
  const form = { formToken, vaccine: 'PENTA', until: '2026-04-01', reason: 'Fever', decidedBy: 'Dr on duty' }
  await visitor.post(`${path}/decisions`, form)
  const page = await visitor.get(path)
  expect(page.text).toMatch(/PENTA not before Wed 1 Apr 2026: Fever \(Dr on duty, /)

  const [, end = ''] = /action="([^"]+\/end)"/.exec(page.text) ?? []
  await visitor.post(end, { formToken })
  expect((await visitor.get(path)).text).toMatch(/ended Wed 4 Mar 2026/)
})

test('a risk is written down on the page of the child, where the schedule asks for any', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await districtWithRisks()
  const child = await district.enrol({ birthDate: '2025-03-20' })
  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  const path = `/districts/${district.id}/children/${child.id}`

  const form = { formToken: fieldOf(await visitor.get(path), 'formToken'), reason: 'Test of today' }
  await visitor.post(`${path}/decisions`, { ...form, risk: 'hiv', decidedBy: 'Dr on duty' })
  expect((await visitor.get(path)).text).toMatch(/Risk: hiv: Test of today \(Dr on duty, /)

  const unknown = await visitor.post(`${path}/decisions`, { ...form, risk: 'tall', decidedBy: 'Dr on duty' })
  expect(unknown.status).toBe(422)
})

test('birth doses within 24 hours are told apart from those of which nothing is known (requirement REG-11)', async () => {
  const { district } = await aChild()
  const born = async (name: string, birthTime: string | null) => {
    const { body } = await call('POST', '/v1/children', {
      token: district.token,
      body: {
        villageId: district.villageId('Mbari'),
        name,
        sex: 'female',
        birthDate: '2026-03-03',
        birthTime,
        isKnownToBeNew: true,
      },
    })
    return z.looseObject({ cardNumber: z.string(), birthTime: z.string().nullable() }).parse(body)
  }
  const [known, unknown, none] = [
    await born('Asha', '10:30'),
    await born('Juma', null),
    await born('Neema', null),
  ]
  for (const { cardNumber } of [known, unknown]) await ask(district.vaccinator, `GAVE ${cardNumber} HEPB`)

  const { body } = await call(
    'GET',
    `/v1/districts/${district.id}/birth-doses?from=2026-03-03&to=2026-03-03`,
    {
      token: district.token,
    },
  )

  expect(known.birthTime).toBe('10:30')
  expect(none.birthTime).toBeNull()
  expect(body).toEqual({ births: 3, withinADay: 1, later: 1, unknown: 1 })
})
