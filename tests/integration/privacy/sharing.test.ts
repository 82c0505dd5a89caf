/** A family bars sharing (requirement SEC-11). */
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, database } = service
beforeEach(service.empty)

test('a child whose family bars sharing is in no answer to other systems until the family allows it again', async () => {
  const district = await newDistrict(service)
  const { token } = district
  const child = await district.enrol({ birthDate: '2026-01-20' })
  const other = await district.enrol({ name: 'Binta Ford', birthDate: '2026-01-25' })
  for (const { id } of [child, other])
    await call('POST', `/v1/children/${id}/doses`, {
      token,
      body: { vaccines: ['BCG'], givenOn: '2026-03-01' },
    })
  const { id: doseId } = await database.db.dose.findFirstOrThrow({ where: { childId: child.id } })
  const machine = await district.tokenFor('machine')
  const read = async (path: string) => call('GET', `/fhir/R4/${path}`, { token: machine })
  const bar = (barred: boolean) =>
    call('PUT', `/v1/children/${child.id}/sharing`, { token, body: { barred } })
  const single = [
    `Patient/${child.id}`,
    `Patient/${child.id}/$everything`,
    `Immunization/${doseId}`,
    `ImmunizationRecommendation/${child.id}`,
  ]
  const searches = [
    'Patient',
    `Patient?identifier=${child.cardNumber}`,
    'Immunization',
    `Immunization?patient=${child.id}`,
    `ImmunizationRecommendation?patient=${child.id}`,
  ]
  const seen = async () => {
    const replies = await Promise.all([...single, ...searches].map(read))
    return replies.filter(
      ({ body }) =>
        JSON.stringify(body).includes(`"reference":"Patient/${child.id}"`) ||
        JSON.stringify(body).includes(`"id":"${child.id}"`),
    ).length
  }
  expect(await seen()).toBe(single.length + searches.length)

  expect(await bar(true)).toMatchObject({ status: 200, body: { isSharingBarred: true } })

  expect(await seen()).toBe(0)
  for (const path of single) expect((await read(path)).status).toBe(404)
  for (const path of ['Patient', 'Immunization'])
    expect(JSON.stringify((await read(path)).body)).toContain(other.id)
  const row = await database.db.child.findUniqueOrThrow({ where: { id: child.id } })
  expect(row).toMatchObject({ sharingBarredBy: 'officer', sharingBarredAt: service.clock.now() })

  expect(await bar(false)).toMatchObject({ body: { isSharingBarred: false } })
  expect(await seen()).toBe(single.length + searches.length)
  const acts = await database.db.change.findMany({
    where: { subjectId: child.id, act: { endsWith: 'sharing' } },
  })
  expect(acts.map(({ act }) => act).sort()).toEqual(['allow-sharing', 'bar-sharing'])
})

test("the district's own register keeps a child that is not shared", async () => {
  const district = await newDistrict(service)
  const child = await district.enrol()
  const { token } = district
  await call('PUT', `/v1/children/${child.id}/sharing`, { token, body: { barred: true } })

  const { body } = await call('GET', `/v1/districts/${district.id}/register.csv`, { token })
  expect(body).toContain(child.cardNumber)
})
