/** Tokens that managers and officers hand on to those who may do less. */
import { z } from 'zod'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, clock, database, tokenFor } = service

const made = z.object({ id: z.string(), secret: z.string(), expiresAt: z.iso.datetime() })
const listed = z.object({ tokens: z.array(z.object({ id: z.string(), lastUsedAt: z.string().nullable() })) })

test('a manager makes a token for a vaccinator, sees it used and ends it, and all of it is on record', async () => {
  const district = await newDistrict(service)
  const token = await district.tokenFor('manager')
  const path = `/v1/districts/${district.id}/tokens`
  const reply = await call('POST', path, {
    token,
    body: { name: 'tablet of Ford', role: 'vaccinator', days: 30 },
  })
  expect(reply.status).toBe(201)
  const { id, secret, expiresAt } = made.parse(reply.body)
  expect(expiresAt).toBe('2026-04-03T07:00:00.000Z')

  expect(await call('GET', `/v1/districts/${district.id}/villages`, { token: secret })).toMatchObject({
    status: 200,
  })
  const list = await call('GET', path, { token })
  expect(JSON.stringify(list.body)).not.toContain(secret)
  expect(listed.parse(list.body).tokens.find((one) => one.id === id)?.lastUsedAt).toBe(
    clock.now().toISOString(),
  )

  expect(await call('POST', `${path}/${id}/end`, { token })).toMatchObject({ status: 200 })
  expect(await call('GET', `/v1/districts/${district.id}/villages`, { token: secret })).toMatchObject({
    status: 401,
  })
  const acts = await database.db.change.findMany({ where: { subjectId: id }, orderBy: { id: 'asc' } })
  expect(acts.map(({ act, actor }) => [act, actor])).toEqual([
    ['make-token', 'manager'],
    ['revoke-token', 'manager'],
  ])
})

test('no token is made for a role as high as the giver, nor ended of one, nor in another district', async () => {
  const district = await newDistrict(service)
  const other = await newDistrict(service)
  const token = await district.tokenFor('manager')
  const make = (role: string, districtId = district.id) =>
    call('POST', `/v1/districts/${districtId}/tokens`, { token, body: { name: 'x', role } })

  for (const role of ['manager', 'officer', 'operator', 'machine'])
    expect((await make(role)).status).toBe(403)
  expect((await make('vaccinator', other.id)).status).toBe(404)
  const { tokens } = listed.parse((await call('GET', `/v1/districts/${district.id}/tokens`, { token })).body)
  for (const { id } of tokens)
    expect((await call('POST', `/v1/districts/${district.id}/tokens/${id}/end`, { token })).status).toBe(403)
})

test("a given token ends with its giver's at the latest", async () => {
  const district = await newDistrict(service)
  const token = await tokenFor('manager', district.id)
  const ends = new Date('2026-03-10T00:00Z')
  await database.db.apiToken.updateMany({
    where: { districtId: district.id, role: 'manager' },
    data: { expiresAt: ends },
  })

  const body = { name: 'tablet', role: 'vaccinator', days: 300 }
  const reply = await call('POST', `/v1/districts/${district.id}/tokens`, { token, body })
  expect(made.parse(reply.body).expiresAt).toBe(ends.toISOString())
})
