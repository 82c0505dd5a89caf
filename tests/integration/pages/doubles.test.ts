/** One child on two records, from the list of doubles to the merge and back, on the pages as a browser sends them. */
import { z } from 'zod'
import { findChildIdsByNumber } from '../../../src/store/child-numbers.ts'
import { fieldOf, pageVisitor } from '../../support/page-server.ts'
import type { PageVisitor } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { ask, call, findDoubles } = service
const { db } = service.database
beforeEach(service.empty)

async function readerOf(district: TestDistrict): Promise<PageVisitor> {
  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  return visitor
}

/** The second record has another spelling, village and sex, an estimated date, and the same dose once more. */
async function twoRecords() {
  const district = await newDistrict(service)
  const one = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20', sex: null })
  const two = await district.enrol({
    name: 'Ascha Temba',
    birthDate: '2026-01-21',
    village: 'Kesho',
    phone: phoneOf(one),
    isKnownToBeNew: true,
  })
  await ask(district.vaccinator, `GAVE ${one.cardNumber} BCG 02/03/2026`)
  await ask(district.vaccinator, `GAVE ${two.cardNumber} BCG 02/03/2026`)
  await ask(district.vaccinator, `GAVE ${two.cardNumber} BOPV 03/03/2026`)
  await findDoubles()
  const visitor = await readerOf(district)
  const { id: itemId } = await db.reviewItem.findFirstOrThrow({ where: { kind: 'double', closedAt: null } })
  const at = (path: string) => `/districts/${district.id}${path}`
  return { district, one, two, visitor, itemId, at }
}

/** What the page proposes, as a browser would send it. */
function proposedFields(text: string): Record<string, string> {
  const radios = [...text.matchAll(/<input\s[^>]*type="radio"[^>]*>/g)].map(([input]) => input)
  const checked = radios.filter((input) => /\schecked/.test(input))
  const part = (input: string, name: string) => new RegExp(`\\s${name}="([^"]*)"`).exec(input)?.[1] ?? ''
  return Object.fromEntries(checked.map((input) => [part(input, 'name'), part(input, 'value')]))
}

const vaccinesOf = async (childId: string) =>
  (await db.dose.findMany({ where: { childId, voidedAt: null }, orderBy: { givenOn: 'asc' } })).map(
    ({ vaccine }) => vaccine,
  )

test('the list tells the pair with its points and reasons and leads to both records', async () => {
  const { visitor, itemId, at } = await twoRecords()

  const list = (await visitor.get(at('/doubles'))).text.replace(/\s+/g, ' ')

  expect(list).toContain(`/doubles/${itemId}`)
  expect(list).toMatch(
    /\d+ points: name \d+ % alike \(4\), birth date 1 day apart \(3\), village other \(0\), phone shared \(3\)/,
  )
  expect((await visitor.get(at('/data-check'))).text).toContain(at('/doubles'))
})

test('the pair stands side by side with identity, phones, doses and count of texts, and the proposal is marked', async () => {
  const { one, two, visitor, itemId, at } = await twoRecords()

  const page = await visitor.get(at(`/doubles/${itemId}`))

  const words = page.text.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ')
  for (const shown of [
    'Asha Temba',
    'Ascha Temba',
    'Mbari',
    'Kesho',
    phoneOf(one),
    'Texts sent about it',
    'BOPV, Tue 3 Mar 2026',
  ])
    expect(words).toContain(shown)
  expect(proposedFields(page.text)).toMatchObject({
    stays: two.id,
    name: two.id,
    sex: two.id,
    village: two.id,
    birth: two.id,
  })
})

test.each([
  ['name', { name: 'Asha Temba' }, { name: 'Ascha Temba' }],
  ['sex', { sex: null }, { sex: 'female' }],
  ['birth', { birthDate: '2026-01-20' }, { birthDate: '2026-01-21' }],
  ['village', { village: 'Mbari' }, { village: 'Kesho' }],
])(
  'the %s that was chosen stays, and undoing the merge brings back the other',
  async (fact, ofOne, ofTwo) => {
    const { district, one, two, visitor, itemId, at } = await twoRecords()
    const page = await visitor.get(at(`/doubles/${itemId}`))
    const all = { name: two.id, sex: two.id, birth: two.id, village: two.id }
    const fields = { ...proposedFields(page.text), ...all, stays: two.id, [fact]: one.id }

    const merged = await visitor.post(at(`/doubles/${itemId}/merge`), {
      ...fields,
      formToken: fieldOf(page, 'formToken'),
      comment: 'one mother',
    })

    expect(merged.location).toBe(at(`/children/${two.id}`))
    expect(await told(district, two.id)).toEqual({ ...FACTS_OF_TWO, ...ofOne })
    const log = await db.change.findFirstOrThrow({ where: { act: 'merge', subjectId: two.id } })
    expect(log.after).toMatchObject({ fromLeaving: fact })

    const list = await visitor.get(at('/doubles'))
    const { id: mergeId } = await db.childMerge.findFirstOrThrow({ where: { undoneAt: null } })
    await visitor.post(at(`/merges/${mergeId}/undo`), { formToken: fieldOf(list, 'formToken'), comment: '' })
    expect(await told(district, two.id)).toEqual({ ...FACTS_OF_TWO, ...ofTwo })
    expect(await district.child(one.id)).toMatchObject({ status: 'active', name: 'Asha Temba' })
    expect([await vaccinesOf(one.id), await vaccinesOf(two.id)]).toEqual([['BCG'], ['BCG', 'BOPV']])
  },
)

const FACTS_OF_TWO = { name: 'Ascha Temba', sex: 'female', birthDate: '2026-01-21', village: 'Kesho' }

async function told(district: TestDistrict, childId: string) {
  const { name, sex, birthDate, village } = await district.child(childId)
  return { name, sex, birthDate, village: village.name }
}

test('one of two reports of one dose stays, the rest is kept of both, and both cards go on', async () => {
  const { district, one, two, visitor, itemId, at } = await twoRecords()
  const page = await visitor.get(at(`/doubles/${itemId}`))

  await visitor.post(at(`/doubles/${itemId}/merge`), {
    ...proposedFields(page.text),
    formToken: fieldOf(page, 'formToken'),
  })

  expect(await vaccinesOf(two.id)).toEqual(['BCG', 'BOPV'])
  await ask(district.vaccinator, `GAVE ${one.cardNumber} PENTA`)
  expect(await vaccinesOf(two.id)).toEqual(['BCG', 'BOPV', 'PENTA'])
})

test('two said to be two are not put side by side again', async () => {
  const { visitor, itemId, at } = await twoRecords()
  const page = await visitor.get(at(`/doubles/${itemId}`))
  const formToken = fieldOf(page, 'formToken')

  await visitor.post(at(`/doubles/${itemId}/two`), { formToken, comment: 'cousins' })
  await visitor.post(at('/doubles/check'), { formToken })
  await findDoubles()

  const list = (await visitor.get(at('/doubles'))).text
  expect(list).toContain('No pair waits.')
  expect(list).toContain('two, not one 1')
  expect(list).toContain('cousins')
})

test('a child is flagged from its page by the card of the other record', async () => {
  const district = await newDistrict(service)
  const one = await district.enrol({ name: 'Neema Temba' })
  const other = await district.enrol({ name: 'Juma Baraka', birthDate: '2026-02-11' })
  const visitor = await readerOf(district)
  const path = `/districts/${district.id}/children/${one.id}`
  const formToken = fieldOf(await visitor.get(path), 'formToken')

  const { location } = await visitor.post(`${path}/double`, {
    formToken,
    card: other.cardNumber,
    comment: 'same house',
  })

  const { text } = await visitor.get(location)
  expect(text).toContain('a person asked for a look')
  expect(text).toContain('Juma Baraka')
})

test('what a clinician decided, the wish not to share and numbers of other registers go with the merge and come back', async () => {
  const { district, one, two, visitor, itemId, at } = await twoRecords()
  const given = {
    reason: 'ill',
    decidedBy: 'Dr Umoja',
    decision: { kind: 'put-off', vaccine: 'PENTA', until: '2026-06-01' },
  }
  const noted = await call('POST', `/v1/children/${one.id}/clinical-notes`, {
    token: district.token,
    body: given,
  })
  expect(noted).toMatchObject({ status: 201 })
  await db.child.update({
    where: { id: one.id },
    data: { sharingBarredAt: new Date(), sharingBarredBy: 'test' },
  })
  const number = { issuer: 'http://registry.example/child', number: 'K-17' }
  await db.childNumber.create({ data: { ...number, childId: one.id, since: new Date() } })
  const page = await visitor.get(at(`/doubles/${itemId}`))
  const formToken = fieldOf(page, 'formToken')

  await visitor.post(at(`/doubles/${itemId}/merge`), {
    ...proposedFields(page.text),
    stays: two.id,
    formToken,
  })

  expect(await findChildIdsByNumber(db, number)).toEqual([two.id])
  const plans = async () => {
    const rows = await db.child.findMany({
      where: { id: { in: [one.id, two.id] } },
      orderBy: { birthOn: 'asc' },
    })
    return rows.map(({ ownPlan, sharingBarredAt }) => [
      z
        .object({ putOff: z.array(z.object({ vaccine: z.string() })) })
        .nullable()
        .parse(ownPlan)?.putOff.length ?? 0,
      sharingBarredAt !== null,
    ])
  }
  const merged = await plans()
  const { id: mergeId } = await db.childMerge.findFirstOrThrow({ where: { undoneAt: null } })
  await visitor.post(at(`/merges/${mergeId}/undo`), { formToken })

  expect(merged).toEqual([
    [0, true],
    [1, true],
  ])
  expect(await plans()).toEqual([
    [1, true],
    [0, false],
  ])
  expect(await findChildIdsByNumber(db, number)).toEqual([one.id])
})

test('a pair, a merge and a form of another district, or without its token, change nothing', async () => {
  const { two, visitor, itemId, at } = await twoRecords()
  const other = await readerOf(await newDistrict(service))
  const otherHome = (await other.get('/district')).location
  const formToken = fieldOf(await other.get(otherHome), 'formToken')
  const fields = { formToken, stays: two.id }

  expect((await other.get(`${otherHome}/doubles/${itemId}`)).status).toBe(404)
  expect((await other.post(`${otherHome}/doubles/${itemId}/merge`, fields)).status).toBe(404)
  expect((await other.post(at(`/doubles/${itemId}/two`), fields)).status).toBe(404)
  expect((await visitor.post(at(`/doubles/${itemId}/merge`), { stays: two.id })).status).toBe(403)
  expect(await db.childMerge.count()).toBe(0)
})
