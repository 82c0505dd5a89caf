/** What is kept ends by its term (requirement SEC-14). */
import { linkChanges } from '../../../src/app/audit/link-changes.ts'
import { verifyChain } from '../../../src/app/audit/verify-chain.ts'
import { listPastTerm, retain } from '../../../src/app/privacy/retain.ts'
import type { PastTerm } from '../../../src/app/privacy/retain.ts'
import { runningService } from '../../support/running-service.ts'
import { rowsOf, SAMPLES } from '../../support/sample-rows.ts'
import { newDistrict, newPhone } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { ask, call, clock, database, deps, empty, liveThrough } = service

beforeEach(async () => {
  await empty()
  await database.pool.query('truncate audit_link')
  clock.moveTo('2026-03-04T10:00+03:00')
})

const SHORT = {
  textsIn: 90,
  reminders: 60,
  replies: 60,
  webhookCalls: 7,
  closedChildren: 365,
  grownChildren: 3653,
}

/** A district a year later: a child that is followed, one whose family refused, texts of both, and of nobody known. */
async function aYearLater(): Promise<TestDistrict> {
  const district = await newDistrict(service)
  const { token, vaccinator } = district
  const followed = await district.enrol({ name: 'Zawadi Okello', birthDate: '2026-01-20', phone: newPhone() })
  const closed = await district.enrol({ name: 'Neema Temba', birthDate: '2026-01-10', phone: newPhone() })
  for (const { cardNumber } of [followed, closed]) await ask(vaccinator, `GAVE ${cardNumber} BCG`)
  await ask(newPhone(), 'who is Zawadi Okello')
  await liveThrough('2026-03-20T12:00+03:00')
  const body = { status: 'refused', on: '2026-03-20' }
  await call('POST', `/v1/children/${closed.id}/status`, { token, body })
  clock.moveTo('2027-06-01T10:00+03:00')
  return district
}

async function everythingInTheDatabase(): Promise<string> {
  const rows = await Promise.all(Object.keys(SAMPLES).map((model) => rowsOf(database.db, model).findMany()))
  return JSON.stringify(rows, (_key, value: unknown) => (typeof value === 'bigint' ? String(value) : value))
}

/** Every figure that texts and children are counted for. */
async function figures({ id, token }: TestDistrict): Promise<unknown[]> {
  const paths = ['coverage?birthYear=2026', 'message-report?month=2026-03', 'dropout?birthYear=2026']
  const answers = await Promise.all(
    paths.map((path) => call('GET', `/v1/districts/${id}/${path}`, { token })),
  )
  const texts = await database.db.textIn.groupBy({
    by: ['act', 'problem'],
    _count: true,
    orderBy: { act: 'asc' },
  })
  const reminders = await database.db.reminder.groupBy({
    by: ['status'],
    _count: true,
    orderBy: { status: 'asc' },
  })
  return [...answers.map(({ body }) => body), texts, reminders]
}

const counts = (found: readonly PastTerm[], district: string | null) =>
  Object.fromEntries(
    found
      .filter((each) => each.district === district && each.count > 0)
      .map(({ kind, count }) => [kind, count]),
  )

const setTerms = ({ id, token }: TestDistrict, terms: object) =>
  call('PUT', `/v1/districts/${id}/retention`, { token, body: terms })

test('by the terms that ship nothing of a district goes within two years', async () => {
  const district = await aYearLater()

  expect(counts(await retain(deps), district.file.district.name)).toEqual({})
  const read = await call('GET', `/v1/districts/${district.id}/retention`, { token: district.token })
  expect(read.body).toMatchObject({ textsIn: 1826, closedChildren: 3653 })
})

test('retention dry run lists what would go, by district and kind, and changes nothing', async () => {
  const district = await aYearLater()
  expect(await setTerms(district, SHORT)).toMatchObject({ status: 200, body: SHORT })
  const before = await everythingInTheDatabase()

  const listed = counts(await listPastTerm(deps), district.file.district.name)

  expect(listed).toMatchObject({ closedChildren: 1, textsIn: 2 })
  expect(listed['replies']).toBeGreaterThanOrEqual(2)
  expect(listed['reminders']).toBeGreaterThanOrEqual(1)
  expect(await everythingInTheDatabase()).toBe(before)
})

test('words, numbers and a closed child’s name go by their terms; a followed child stays', async () => {
  const district = await aYearLater()
  await setTerms(district, SHORT)

  const ended = await retain(deps)

  expect(counts(ended, district.file.district.name)).toMatchObject({ closedChildren: 1 })
  const left = await everythingInTheDatabase()
  expect(left).not.toMatch(/Neema|Temba|GAVE|recorded for/)
  expect(left).toContain('"name":"Zawadi Okello"')
  const texts = await database.db.textIn.findMany({ where: { districtId: district.id } })
  expect(new Set(texts.map(({ body }) => body))).toEqual(new Set(['']))
  expect(texts.map(({ fromNumber }) => fromNumber)).toContain('erased')
  expect(counts(await listPastTerm(deps), district.file.district.name)).toEqual({})
  expect(counts(await retain(deps), district.file.district.name)).toEqual({})
})

test('texts of numbers that nobody knows go by the terms that ship', async () => {
  await aYearLater()
  clock.moveTo('2031-04-01T10:00+03:00')

  expect(counts(await retain(deps), null)).toMatchObject({ textsIn: 1 })
  expect(await everythingInTheDatabase()).not.toContain('who is Zawadi')
})

test('every figure is the same before and after, the record is whole and has the run', async () => {
  const district = await aYearLater()
  await setTerms(district, SHORT)
  await linkChanges(deps)
  const { head } = await verifyChain(deps, null)
  const before = await figures(district)

  await retain(deps)
  await linkChanges(deps)

  expect(await figures(district)).toEqual(before)
  expect(JSON.stringify(before)).toContain('"numerator":2')
  expect(await verifyChain(deps, head)).toMatchObject({ found: [] })
  const entries = await database.db.change.findMany({ where: { act: 'retain' } })
  expect(entries).toContainEqual(
    expect.objectContaining({ actor: 'duebell', districtId: district.id, subjectKind: 'district' }),
  )
  expect(entries).toContainEqual(expect.objectContaining({ districtId: null, subjectKind: 'service' }))
  expect(await database.db.change.count({ where: { act: 'set-retention', districtId: district.id } })).toBe(1)
})

test('more than a batch goes in several transactions, of which a failing one loses no other', async () => {
  const district = await aYearLater()
  await setTerms(district, SHORT)
  await database.pool.query(
    `insert into text_in (id, gateway, key, from_number, to_number, body, received_at, handled_at, district_id)
     select gen_random_uuid(), 'old', n::text, t.from_number, '100', t.body, t.received_at, t.received_at, t.district_id
     from generate_series(1, 1200) n, (select * from text_in where district_id = $1 limit 1) t`,
    [district.id],
  )
  const sizes: number[] = []
  const watched = (breaksAfter: number) => ({
    ...deps,
    database: {
      ...deps.database,
      transaction: (async (work) => {
        if (sizes.length >= breaksAfter) throw new Error('power cut')
        const answer = await deps.database.transaction(work)
        if (typeof answer === 'number' && answer > 0) sizes.push(answer)
        return answer
      }) as typeof deps.database.transaction,
    },
  })

  const emptied = () =>
    database.db.textIn.count({ where: { districtId: district.id, emptiedAt: { not: null } } })
  const before = await emptied()
  await expect(retain(watched(1))).rejects.toThrow('power cut')
  // One batch, and the text that went with a child whose own term was over.
  expect((await emptied()) - before).toBe(500 + 1)
  await retain(watched(Infinity))

  expect(Math.max(...sizes)).toBe(500)
  expect(sizes.filter((size) => size === 500)).toHaveLength(2)
})

test('a term too short for what is still worked with is refused', async () => {
  const district = await newDistrict(service)

  expect(await setTerms(district, { ...SHORT, textsIn: 30 })).toMatchObject({ status: 400 })
  expect(await setTerms(district, { ...SHORT, grownChildren: 365 })).toMatchObject({ status: 400 })
})
