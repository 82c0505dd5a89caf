import { CIVIL } from '../../support/fhir-delivery.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call } = service
const district = await newDistrict(service)
const { token } = district
const HOSPITAL = 'urn:example:hospital'

const give = (childId: string, issuer: string, number: string) =>
  call('POST', `/v1/children/${childId}/numbers`, { token, body: { numbers: [{ issuer, number }] } })
const find = async (query: string) => (await call('GET', `/v1/children?${query}`, { token })).body

test('a child gets numbers of several issuers later on, and every one of them finds it, the card’s too', async () => {
  const child = await district.enrol({ name: 'Asha Temba' })
  await give(child.id, HOSPITAL, 'MR 17')
  const reply = await give(child.id, CIVIL, 'B-2026-0017')

  const numbers = [
    { issuer: CIVIL, number: 'B-2026-0017' },
    { issuer: HOSPITAL, number: 'MR 17' },
  ]
  expect(reply).toMatchObject({ status: 200, body: { cardNumber: child.cardNumber, numbers } })
  for (const query of [
    'number=B-2026-0017',
    'number=MR%2017',
    `issuer=${HOSPITAL}&number=MR%2017`,
    `card=${child.cardNumber}`,
  ])
    expect(await find(query)).toMatchObject({ children: [{ id: child.id }] })
  expect(await find(`issuer=${CIVIL}&number=MR%2017`)).toMatchObject({ children: [] })
})

test('the same number from the same issuer is one child’s; from another issuer it may be another’s', async () => {
  const [one, other] = [
    await district.enrol({ name: 'Binta Ford', birthDate: '2026-01-21' }),
    await district.enrol({ name: 'Chipo Kesho', birthDate: '2026-01-22' }),
  ]
  expect(await give(one.id, CIVIL, '18')).toMatchObject({ status: 200 })

  expect(await give(other.id, CIVIL, '18')).toMatchObject({ status: 409, body: { code: 'number-taken' } })
  expect(await give(other.id, HOSPITAL, '18')).toMatchObject({ status: 200 })
  expect(await give(one.id, CIVIL, '18')).toMatchObject({
    status: 200,
    body: { numbers: [{ number: '18' }] },
  })
})

test('nobody reads the numbers in the database, nor finds a child of another district by them', async () => {
  const other = await newDistrict(service)
  const hidden = await other.enrol({ name: 'Hidden Vale' })
  await call('POST', `/v1/children/${hidden.id}/numbers`, {
    token: other.token,
    body: { numbers: [{ issuer: CIVIL, number: 'B-77' }] },
  })

  expect(await find('number=B-77')).toMatchObject({ children: [] })
  const { rows } = await service.database.pool.query<{ number: string }>('select number from child_number')
  expect(rows.length).toBeGreaterThan(0)
  for (const { number } of rows) expect(number).toMatch(/^sealed:n:/)
})
