/** A family has its child's data handed over, or removed. */
import { linkChanges } from '../../../src/app/audit/link-changes.ts'
import { verifyChain } from '../../../src/app/audit/verify-chain.ts'
import { searchErased as searchErasedWith } from '../../../src/app/privacy/search-erased.ts'
import { listMissedChildren } from '../../../src/store/defaulters.ts'
import { runningService } from '../../support/running-service.ts'
import { rowsOf, SAMPLES } from '../../support/sample-rows.ts'
import { testVault } from '../../support/test-vault.ts'
import { newDistrict, newPhone, phoneOf } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { ask, call, clock, database, deps, empty, handset, inbox, liveThrough, searchErased } = service

beforeEach(async () => {
  await empty()
  await database.pool.query('truncate audit_link')
  clock.moveTo('2026-03-04T10:00+03:00')
})

/** A child with something of every kind, and a younger sister on the same phone where one is asked for. */
async function aChild(phone = newPhone()): Promise<{ district: TestDistrict; child: ChildJson }> {
  const district = await newDistrict(service)
  const child = await district.enrol({ name: 'Zawadi Okello', birthDate: '2026-01-20', phone })
  const { token } = district
  const at = `/v1/children/${child.id}`
  await call('PATCH', at, { token, body: { name: 'Zawadi Akinyi' } })
  await call('POST', `${at}/clinical-notes`, {
    token,
    body: {
      decision: { kind: 'put-off', vaccine: 'ROTA', until: '2026-04-01' },
      reason: 'As Zawadi Akinyi was ill',
      decidedBy: 'The clinic',
    },
  })
  await call('POST', `${at}/reactions`, {
    token,
    body: { words: 'Zawadi Akinyi had fits', reactionOn: '2026-03-04' },
  })
  await ask(district.vaccinator, `GAVE ${child.cardNumber} BCG`)
  await ask(district.vaccinator, `CARD ${child.cardNumber}`)
  await handset.text(phone, 'Zawadi has a fever, what shall we do')
  await liveThrough('2026-03-20T12:00+03:00')
  return { district, child: await district.child(child.id) }
}

const askToErase = ({ token }: TestDistrict, { id }: ChildJson) =>
  call('POST', `/v1/children/${id}/erase`, {
    token,
    body: { reason: 'family-asked', askedBy: 'mother' },
  })

async function erase(district: TestDistrict, child: ChildJson) {
  const answer = await askToErase(district, child)
  await searchErased()
  return answer
}

/** Every row of every table, opened. */
async function everythingInTheDatabase(): Promise<string> {
  const rows = await Promise.all(Object.keys(SAMPLES).map((model) => rowsOf(database.db, model).findMany()))
  return JSON.stringify(rows, (_key, value: unknown) => (typeof value === 'bigint' ? String(value) : value))
}

const coverage = async ({ id, token }: TestDistrict) =>
  (await call('GET', `/v1/districts/${id}/coverage?birthYear=2026`, { token })).body

test('no name, number, word or card of an erased child is left in any table, but the card on its own record', async () => {
  const { district, child } = await aChild()
  expect(await everythingInTheDatabase()).toMatch(/Zawadi/)

  const { status, body } = await erase(district, child)

  expect(status).toBe(200)
  expect(body).toMatchObject({ records: 1, numbers: 1 })
  const left = await everythingInTheDatabase()
  expect(left).not.toMatch(/Zawadi|Okello|Akinyi|fever|fits/i)
  expect(left).not.toContain(phoneOf(child).slice(1))
  expect(left.split(child.cardNumber)).toHaveLength(2)
})

test('coverage is the same before and after', async () => {
  const { district, child } = await aChild()
  const before = await coverage(district)

  await erase(district, child)

  expect(await coverage(district)).toEqual(before)
  expect(JSON.stringify(before)).toContain('"numerator":1')
})

test('an erased child is nowhere: not by identifier, card, phone, text, list or FHIR, and gets no text', async () => {
  const { district, child } = await aChild()
  const { id, token } = district
  await erase(district, child)
  const sent = inbox(phoneOf(child)).length
  const get = async (path: string) => call('GET', path, { token })

  for (const path of ['', '/forecast', '/doses', '/everything-held'])
    expect((await get(`/v1/children/${child.id}${path}`)).status).toBe(404)
  expect((await get(`/fhir/R4/Patient/${child.id}`)).status).toBe(404)
  expect((await get(`/fhir/R4/Patient?_id=${child.id}`)).body).not.toHaveProperty('entry')
  for (const wish of [`card=${child.cardNumber}`, `phone=${encodeURIComponent(phoneOf(child))}`, 'limit=50'])
    expect((await get(`/v1/children?district=${id}&${wish}`)).body).toEqual({ children: [], next: null })
  expect(await ask(district.vaccinator, `CARD ${child.cardNumber}`)).toMatch(/no child|know no/i)
  expect((await get(`/v1/districts/${id}/register.csv`)).body).not.toContain(child.cardNumber)
  await liveThrough('2026-06-30T12:00+03:00')

  expect(inbox(phoneOf(child))).toHaveLength(sent)
  expect(await listMissedChildren(database.db, { districtId: id, postId: null, villageId: null })).toEqual([])
})

test('its card is never given again', async () => {
  const { district, child } = await aChild()
  await erase(district, child)

  const { status, body } = await call('POST', '/v1/children', {
    token: district.token,
    body: {
      villageId: district.villageId('Mbari'),
      name: 'Neema Temba',
      sex: null,
      birthDate: '2026-02-01',
      cardNumber: child.cardNumber,
    },
  })

  expect(status).toBe(409)
  expect(body).toMatchObject({ code: 'card-taken' })
})

test('a sister on the same phone keeps it, her reminders and her texts', async () => {
  const phone = newPhone()
  const { district, child } = await aChild(phone)
  const sister = await district.enrol({
    name: 'Furaha Bakari',
    birthDate: '2026-03-01',
    phone,
    isKnownToBeNew: true,
  })
  await ask(district.vaccinator, `CARD ${sister.cardNumber}`)

  expect((await erase(district, child)).body).toMatchObject({ numbers: 0 })

  expect((await district.child(sister.id)).phones).toMatchObject([{ number: phone, consent: 'given' }])
  const led = await database.db.reminder.findMany({ where: { childId: child.id }, include: { line: true } })
  expect(led.length).toBeGreaterThan(0)
  for (const { line, textOutId } of led)
    expect([line.number.slice(0, 6), textOutId]).toEqual(['erased', null])
  const texts = await database.db.textIn.findMany({ where: { fromNumber: district.vaccinator } })
  expect(texts.map(({ body }) => body)).toContain(`CARD ${sister.cardNumber}`)
  await liveThrough('2026-04-30T12:00+03:00')
  const told = await database.db.textOut.findMany({ where: { number: phone } })
  expect(told.map(({ body }) => body).join()).toMatch(/Furaha/)
  expect(await everythingInTheDatabase()).not.toMatch(/Zawadi Akinyi|Zawadi Okello/)
})

test('the record of changes says who erased it and why, names nobody and is whole', async () => {
  const { district, child } = await aChild()
  await linkChanges(deps)
  const { head } = await verifyChain(deps, null)
  await erase(district, child)
  await linkChanges(deps)

  const entry = await database.db.change.findFirst({ where: { subjectId: child.id, act: 'erase' } })
  expect(entry).toMatchObject({ actor: 'officer', after: { reason: 'family-asked', askedBy: 'mother' } })
  expect(await verifyChain(deps, head)).toMatchObject({ found: [] })
})

test('everything held of a child is handed over in one answer, and who asked is noted', async () => {
  const { district, child } = await aChild()
  const { status, body } = await call('GET', `/v1/children/${child.id}/everything-held`, {
    token: district.token,
  })

  expect(status).toBe(200)
  expect(body).toMatchObject({
    records: [{ name: 'Zawadi Akinyi', cardNumber: child.cardNumber }],
    formerNames: [{ name: 'Zawadi Okello' }],
    caregivers: [{ line: { number: phoneOf(child), consent: 'given' } }],
    doses: [{ vaccine: 'BCG' }],
    reactions: [{ words: 'Zawadi Akinyi had fits' }],
    clinicalNotes: [{ reason: 'As Zawadi Akinyi was ill' }],
  })
  const said = JSON.stringify(body)
  for (const words of [`CARD ${child.cardNumber}`, 'what shall we do']) expect(said).toContain(words)
  expect(await database.db.change.count({ where: { subjectId: child.id, act: 'hand-out-everything' } })).toBe(
    1,
  )
})

test('what tells of another child on the same phone is not handed over', async () => {
  const phone = newPhone()
  const { district, child } = await aChild(phone)
  await district.enrol({ name: 'Furaha Bakari', birthDate: '2026-03-01', phone, isKnownToBeNew: true })
  const { body } = await call('GET', `/v1/children/${child.id}/everything-held`, { token: district.token })

  expect(JSON.stringify(body)).not.toMatch(/Furaha/)
})

describe('among some thousand texts of other people', () => {
  const OTHERS = 3500

  /** As many texts of a vaccinator, each with an answer, and among them two that name the child by its words only. */
  async function aBusyDistrict() {
    const { district, child } = await aChild()
    await ask(district.vaccinator, 'what of Zawadi Akinyi')
    await database.pool.query(
      `insert into text_in (id, gateway, key, from_number, to_number, body, received_at, handled_at, district_id)
       select gen_random_uuid(), 'old', n::text, t.from_number, '100', t.body, t.received_at, t.received_at, t.district_id
       from generate_series(1, $2) n,
         (select * from text_in where district_id = $1 and act is not null order by received_at limit 1) t`,
      [district.id, OTHERS],
    )
    await database.pool.query(`update text_in set body = $1 where gateway = 'old'`, [
      testVault.seal('text', 'DUE'),
    ])
    const written = { fromNumber: newPhone(), body: `is Zawadi Akinyi there, card ${child.cardNumber}?` }
    const last = await database.db.textIn.findFirstOrThrow({
      where: { gateway: 'old' },
      orderBy: { id: 'desc' },
    })
    await database.db.textIn.update({ where: { id: last.id }, data: written })
    return { district, child }
  }

  test('the erasure itself opens none of them, and a search empties what names the child, a batch at a time', async () => {
    const { district, child } = await aBusyDistrict()
    const { body } = await askToErase(district, child)
    expect(body).toMatchObject({ records: 1 })
    expect(JSON.stringify(await database.db.erasureSearch.findMany())).toContain('Zawadi Akinyi')
    expect(await database.db.textIn.count({ where: { gateway: 'old', emptiedAt: null } })).toBe(OTHERS)
    const { batches, watched } = counting()

    await searchErasedWith(watched)

    expect(batches.length).toBeGreaterThanOrEqual(4 + 1 + 1)
    expect(await everythingInTheDatabase()).not.toMatch(/Zawadi|Akinyi/)
    expect(await database.db.textIn.count({ where: { gateway: 'old', emptiedAt: null } })).toBe(OTHERS - 1)
    expect(await database.db.erasureSearch.count()).toBe(0)
  })

  test('a search that was stopped goes on where it was', async () => {
    const { district, child } = await aBusyDistrict()
    await askToErase(district, child)
    await expect(searchErasedWith(counting(2).watched)).rejects.toThrow('stopped')
    const [kept] = await database.db.erasureSearch.findMany()
    expect(kept?.after).not.toBeNull()

    await searchErased()

    expect(await everythingInTheDatabase()).not.toMatch(/Zawadi|Akinyi/)
  })
})

/** The service's parts, counting transactions, the one after so many of which fails. */
function counting(atMost = Infinity) {
  const batches: number[] = []
  const transaction: typeof deps.database.transaction = async (work, options) => {
    if (batches.length >= atMost) throw new Error('stopped')
    batches.push(1)
    return deps.database.transaction(work, options)
  }
  return { batches, watched: { ...deps, database: { ...deps.database, transaction } } }
}
