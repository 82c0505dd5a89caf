import { z } from 'zod'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { address, call, database } = service
const district = await newDistrict(service)
const child = await district.enrol({ birthDate: '2026-01-20' })
const { token } = district
await call('POST', `/v1/children/${child.id}/doses`, {
  token,
  body: { vaccines: ['BCG', 'HEPB'], givenOn: '2026-01-20' },
})

const NOBODY = '019abe80-0000-7000-8000-000000000000'
const newborn = (changes: object) => ({
  villageId: district.villageId('Mbari'),
  name: 'Zawadi Lake',
  sex: 'female',
  birthDate: '2026-02-01',
  ...changes,
})
const given = (changes: object) => ({ vaccines: ['BCG'], givenOn: '2026-03-04', ...changes })
const dosesPath = `/v1/children/${child.id}/doses`

interface Case {
  readonly what: string
  readonly method?: string
  readonly path: string
  readonly body?: unknown
  readonly headers?: Record<string, string>
  readonly status: number
  readonly code: string
}

const CASES: readonly Case[] = [
  {
    what: 'an unknown child',
    method: 'GET',
    path: `/v1/children/${NOBODY}`,
    status: 404,
    code: 'child-not-found',
  },
  {
    what: 'an unknown dose',
    path: `/v1/doses/${NOBODY}/withdrawal`,
    body: { reason: 'x' },
    status: 404,
    code: 'dose-not-found',
  },
  {
    what: 'an unknown village',
    path: '/v1/children',
    body: newborn({ villageId: NOBODY }),
    status: 404,
    code: 'village-not-found',
  },
  {
    what: 'an unknown schedule',
    method: 'GET',
    path: '/v1/schedules/none',
    status: 404,
    code: 'schedule-not-found',
  },
  { what: 'an unknown address', method: 'GET', path: '/v1/nothing', status: 404, code: 'route-not-found' },
  {
    what: 'an unknown method',
    method: 'DELETE',
    path: `/v1/children/${child.id}`,
    status: 404,
    code: 'route-not-found',
  },
  {
    what: 'a wrong check digit',
    method: 'GET',
    path: '/v1/children?card=48217738',
    status: 422,
    code: 'card-check-digit',
  },
  {
    what: 'a card that is too short',
    path: '/v1/children',
    body: newborn({ cardNumber: '4821' }),
    status: 422,
    code: 'card-length',
  },
  {
    what: 'a birth in the future',
    path: '/v1/children',
    body: newborn({ birthDate: '2026-03-05' }),
    status: 422,
    code: 'birth-in-future',
  },
  {
    what: 'a birth long ago',
    path: '/v1/children',
    body: newborn({ birthDate: '1998-01-01' }),
    status: 422,
    code: 'birth-too-long-ago',
  },
  {
    what: 'an impossible phone',
    path: '/v1/children',
    body: newborn({ caregiver: { phone: '12' } }),
    status: 422,
    code: 'phone-impossible',
  },
  {
    what: 'a dose in the future',
    path: dosesPath,
    body: given({ givenOn: '2026-03-05' }),
    status: 422,
    code: 'dose-in-future',
  },
  {
    what: 'a dose before the birth',
    path: dosesPath,
    body: given({ givenOn: '2026-01-19' }),
    status: 422,
    code: 'dose-before-birth',
  },
  {
    what: 'an unknown vaccine',
    path: dosesPath,
    body: given({ vaccines: ['SOUP'] }),
    status: 422,
    code: 'vaccine-unknown',
  },
  {
    what: 'ALL where nothing is due',
    path: dosesPath,
    body: given({ vaccines: 'all', givenOn: '2026-01-25' }),
    status: 409,
    code: 'nothing-due',
  },
  {
    what: 'a day that does not exist',
    path: dosesPath,
    body: given({ givenOn: '2026-02-30' }),
    status: 400,
    code: 'input-invalid',
  },
  {
    what: 'a day in words',
    path: dosesPath,
    body: given({ givenOn: 'dose 2' }),
    status: 400,
    code: 'input-invalid',
  },
  {
    what: 'no vaccine at all',
    path: dosesPath,
    body: given({ vaccines: [] }),
    status: 400,
    code: 'input-invalid',
  },
  {
    what: 'an identifier that is none',
    method: 'GET',
    path: '/v1/children/1',
    status: 400,
    code: 'input-invalid',
  },
  {
    what: 'a page that is too long',
    method: 'GET',
    path: '/v1/children?limit=1000',
    status: 400,
    code: 'input-invalid',
  },
  {
    what: 'half a period',
    method: 'GET',
    path: `/v1/districts/${district.id}/coverage?from=2026-01-01`,
    status: 400,
    code: 'input-invalid',
  },
  {
    what: 'a session rule of two meanings',
    method: 'PATCH',
    path: `/v1/villages/${district.villageId('Kesho')}`,
    body: { sessions: { rules: ['FREQ=WEEKLY;BYDAY=2TU'] } },
    status: 422,
    code: 'session-rule-invalid',
  },
  {
    what: 'a population beyond all people',
    method: 'PATCH',
    path: `/v1/villages/${district.villageId('Kesho')}`,
    body: { population: 3e10 },
    status: 400,
    code: 'input-invalid',
  },
  {
    what: 'JSON that breaks off',
    path: '/v1/children',
    body: '{"name": "Asha',
    status: 400,
    code: 'body-malformed',
  },
  { what: 'JSON that is no object', path: '/v1/children', body: '17', status: 400, code: 'input-invalid' },
  { what: 'nothing where something is asked for', path: '/v1/children', status: 400, code: 'input-invalid' },
  {
    what: 'a form',
    path: '/v1/children',
    body: 'name=Asha',
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    status: 415,
    code: 'media-type-unsupported',
  },
  {
    what: 'another encoding',
    path: '/v1/children',
    body: '{}',
    headers: { 'content-type': 'application/json; charset=iso-8859-1' },
    status: 415,
    code: 'media-type-unsupported',
  },
  {
    what: 'a body of a megabyte',
    path: '/v1/children',
    body: newborn({ name: 'A'.repeat(1_000_000) }),
    status: 413,
    code: 'body-too-large',
  },
  {
    what: 'a broken % in the address',
    method: 'GET',
    path: '/v1/children/%E0%A4%A',
    status: 400,
    code: 'input-invalid',
  },
  {
    what: 'an Idempotency-Key that is too long',
    path: dosesPath,
    body: given({}),
    headers: { 'idempotency-key': 'k'.repeat(201) },
    status: 400,
    code: 'input-invalid',
  },
  {
    what: 'a call back to no gateway',
    path: '/callbacks/none/text',
    body: '{}',
    status: 404,
    code: 'route-not-found',
  },
  {
    what: 'a schedule whose doses go in a circle',
    path: '/v1/schedules',
    body: aCircle(),
    status: 422,
    code: 'schedule-invalid',
  },
]

/** A schedule in which each of two series waits for the other. */
function aCircle(): object {
  const waitsFor = (series: string) => ({
    earliest: { intervals: [{ after: { series, dose: 1 }, time: '4 weeks' }] },
  })
  return {
    id: 'circle',
    version: '1',
    title: 'A circle',
    notice: 'For tests.',
    effectiveFrom: '2026-01-01',
    sources: [{ title: 'none', issuer: 'none', edition: 'none' }],
    vaccines: [
      { code: 'A', name: 'a', kind: 'inactivated', route: 'oral' },
      { code: 'B', name: 'b', kind: 'inactivated', route: 'oral' },
    ],
    series: [
      { id: 'A', name: 'a', vaccines: ['A'], doses: [waitsFor('B')] },
      { id: 'B', name: 'b', vaccines: ['B'], doses: [waitsFor('A')] },
    ],
  }
}

describe('a request that cannot be done is answered with a stable code and a sentence', () => {
  test.each(CASES)('$what: $code', async ({ method = 'POST', path, body, headers, status, code }) => {
    const before = await database.db.child.count()
    const officer = path === '/v1/schedules' ? await service.tokenFor('officer') : token

    const reply = await call(method, path, {
      token: officer,
      ...(body === undefined ? {} : { body }),
      ...(headers === undefined ? {} : { headers }),
    })

    expect(reply).toMatchObject({ status, body: { code, type: `urn:duebell:problem:${code}` } })
    const { title, detail } = z.object({ title: z.string(), detail: z.string() }).parse(reply.body)
    expect(title).toMatch(/\w+ \w+/)
    expect(detail).toMatch(/\w+ \w+/)
    expect(await database.db.child.count()).toBe(before)
  })

  test('lists everything that is wrong at once', async () => {
    const reply = await call('POST', '/v1/children', { token, body: { name: '', birthDate: '2026-02-30' } })

    const { issues } = z.object({ issues: z.array(z.object({ where: z.string() })) }).parse(reply.body)
    expect(issues.map((issue) => issue.where).sort()).toEqual([
      'body.birthDate',
      'body.name',
      'body.sex',
      'body.villageId',
    ])
  })

  test('says nothing of what went wrong inside when the fault is ours', async () => {
    await database.pool.query('alter table village rename to village_away')
    const reply = await call('GET', `/v1/districts/${district.id}/villages`, { token })
    await database.pool.query('alter table village_away rename to village')

    expect(reply).toMatchObject({ status: 500, body: { code: 'internal' } })
    expect(JSON.stringify(reply.body)).not.toMatch(/village_away|relation|at .*\.ts/)
  })

  test('text with a NUL in it, which no database holds, goes in without it', async () => {
    const reply = await call('POST', '/v1/children', { token, body: newborn({ name: 'Za\u0000wadi Reed' }) })

    expect(reply).toMatchObject({ status: 201, body: { name: 'Zawadi Reed' } })
  })

  test('a method that only looks does not write, also with a body', async () => {
    const response = await fetch(`${address}/v1/districts`, {
      method: 'HEAD',
      headers: { authorization: `Bearer ${token}` },
    })

    expect(response.status).toBe(200)
  })
})
