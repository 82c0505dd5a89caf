/** What every answer carries, and what requests are not let to bring. */
import { openSender } from '../../support/fuzz/send.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { address, call, database } = service
const district = await newDistrict(service)
const { token } = district
const bearer = { authorization: `Bearer ${token}` }

/** One address of each kind that a process serves. */
const KINDS = {
  'the API': `/v1/districts/${district.id}/villages`,
  FHIR: '/fhir/R4/metadata',
  'a refusal': '/v1/children/1',
  'an address that is none': '/nothing',
  health: '/health/live',
  'a page': '/sign-in',
  'a page’s file': '/assets/pages.css',
  'the description of the API': '/v1/openapi.json',
  'a callback': '/callbacks/none/text',
}

describe.each(Object.entries(KINDS))('%s', (_kind, path) => {
  test('answers with the headers that keep a browser to this service', async () => {
    const { headers } = await fetch(`${address}${path}`, {
      headers: { ...bearer, origin: 'https://elsewhere.example' },
    })

    const policy = headers.get('content-security-policy') ?? ''
    for (const part of [
      "default-src 'none'",
      "object-src 'none'",
      "base-uri 'none'",
      "frame-ancestors 'none'",
    ])
      expect(policy).toContain(part)
    expect(policy).not.toContain('unsafe')
    expect(headers.get('x-content-type-options')).toBe('nosniff')
    expect(headers.get('referrer-policy')).toBe('same-origin')
    expect(headers.get('strict-transport-security')).toMatch(/^max-age=31536000; includeSubDomains/)
    expect(headers.get('cross-origin-resource-policy')).toBe('same-origin')
    expect(headers.get('access-control-allow-origin')).toBeNull()
    expect(headers.get('x-powered-by')).toBeNull()
    expect(headers.get('server')).toBeNull()
  })
})

test.each(['/v1/districts', '/v1/children/1', '/fhir/R4/Patient'])(
  'no browser or proxy keeps an answer of %s',
  async (path) => {
    const { headers } = await fetch(`${address}${path}`, { headers: bearer })

    expect(headers.get('cache-control')).toBe('no-store')
  },
)

test('a method that no route has is refused, TRACE too', async () => {
  const sender = openSender(address)
  const statuses = []
  for (const method of ['TRACE', 'DELETE']) {
    const asked = { operation: method, method, path: '/v1/districts', headers: bearer, body: null }
    statuses.push((await sender.send(asked)).status)
  }
  sender.close()

  expect(statuses).toEqual([404, 404])
})

test('a parameter given twice is refused rather than chosen from', async () => {
  const reply = await call('GET', '/v1/children?limit=1&limit=100', { token })

  expect(reply).toMatchObject({ status: 400, body: { code: 'input-invalid' } })
})

test('fields that a route does not take change nothing, those of the prototype neither', async () => {
  const other = await newDistrict(service)
  const body = JSON.stringify({
    villageId: district.villageId('Mbari'),
    name: 'Zawadi Lake',
    sex: 'female',
    birthDate: '2026-02-01',
    id: '019abe80-0000-7000-8000-000000000000',
    districtId: other.id,
    status: 'dead',
    mergedInto: other.id,
  }).replace(/}$/, ',"__proto__":{"role":"officer"},"constructor":{"prototype":{"role":"officer"}}}')

  const reply = await call('POST', '/v1/children', { token, body })

  const [child] = await database.db.child.findMany({ where: { villageId: district.villageId('Mbari') } })
  expect(reply.status).toBe(201)
  expect(child).toMatchObject({ districtId: district.id, status: 'active' })
  expect(child?.id).not.toBe('019abe80-0000-7000-8000-000000000000')
  expect(({} as Record<string, unknown>)['role']).toBeUndefined()
})
