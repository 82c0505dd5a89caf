/** Advice set aside: the dose is kept, its reason too, and both are counted by rule (requirement SCH-10). */
import { z } from 'zod'
import { fieldOf, pageVisitor } from '../../support/page-server.ts'
import type { PageVisitor } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, database } = service
beforeEach(service.empty)

const REASON = 'The family leaves for good tomorrow'
const Doses = z.looseObject({
  doses: z.array(z.looseObject({ id: z.string(), vaccine: z.string(), givenBecause: z.string().nullish() })),
})

/** A child of five weeks with BCG, which counts, and PENTA, which is too young. */
async function aDistrictWithAnEarlyDose() {
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-28' })
  const { body } = await call('POST', `/v1/children/${child.id}/doses`, {
    token: district.token,
    body: { vaccines: ['BCG', 'PENTA'], givenOn: '2026-03-04' },
  })
  const idOf = (vaccine: string): string =>
    Doses.parse(body).doses.find((dose) => dose.vaccine === vaccine)?.id ?? ''
  return { district, child, early: idOf('PENTA'), good: idOf('BCG') }
}

const sayWhy = ({ token }: TestDistrict, doseId: string) =>
  call('PUT', `/v1/doses/${doseId}/reason`, { token, body: { reason: REASON } })

async function signedIn(district: TestDistrict): Promise<PageVisitor> {
  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  return visitor
}

async function dataCheck(visitor: PageVisitor, { id }: TestDistrict): Promise<string> {
  const { text } = await visitor.get(`/districts/${id}/data-check`)
  return text.replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ')
}

test('the reason for a dose against a rule is kept, and the share of such doses is told by rule', async () => {
  const { district, child, early } = await aDistrictWithAnEarlyDose()
  const visitor = await signedIn(district)
  expect(await dataCheck(visitor, district)).toMatch(/Mbari : 1 too young of 2 given, 0 with a reason/)

  expect(await sayWhy(district, early)).toMatchObject({ status: 200, body: { givenBecause: REASON } })

  expect(await dataCheck(visitor, district)).toMatch(/Mbari : 1 too young of 2 given, 1 with a reason/)
  const { body } = await call('GET', `/v1/children/${child.id}/doses`, { token: district.token })
  const reasons = Doses.parse(body).doses.map(({ vaccine, givenBecause }) => [vaccine, givenBecause])
  expect(Object.fromEntries(reasons)).toEqual({ BCG: null, PENTA: REASON })
  const { rows } = await database.pool.query('select reason from dose_against_advice')
  expect(JSON.stringify(rows)).toMatch(/sealed:/)
  expect(await database.db.change.count({ where: { act: 'give-dose-reason', subjectId: child.id } })).toBe(1)
})

test('a dose that counts, one withdrawn and an unknown one take no reason', async () => {
  const { district, early, good } = await aDistrictWithAnEarlyDose()

  expect(await sayWhy(district, good)).toMatchObject({ status: 409, body: { code: 'dose-counts' } })
  await call('POST', `/v1/doses/${early}/withdrawal`, { token: district.token, body: { reason: 'wrong' } })
  expect(await sayWhy(district, early)).toMatchObject({ status: 409, body: { code: 'dose-already-voided' } })
  const nowhere = '00000000-0000-4000-8000-000000000000'
  expect(await sayWhy(district, nowhere)).toMatchObject({ status: 404 })
})

test('the reason is said on the page of the child, for doses of the district only', async () => {
  const { district, child, early } = await aDistrictWithAnEarlyDose()
  const visitor = await signedIn(district)
  const path = `/districts/${district.id}/children/${child.id}`
  const page = await visitor.get(path)
  expect(page.text.match(/Say why it was given/g)).toHaveLength(1)

  const form = { formToken: fieldOf(page, 'formToken'), reason: REASON }
  await visitor.post(`/districts/${district.id}/doses/${early}/reason`, form)
  expect((await visitor.get(path)).text).toContain(`Given all the same: ${REASON}`)

  const other = await newDistrict(service, { district: { name: 'Far Hills' } })
  const strange = await signedIn(other)
  const elsewhere = await strange.get(`/districts/${other.id}/data-check`)
  const answer = await strange.post(`/districts/${other.id}/doses/${early}/reason`, {
    formToken: fieldOf(elsewhere, 'formToken'),
    reason: 'none of ours',
  })
  expect(answer.status).toBe(404)
})
