/**
 * Malformed requests to every route of the OpenAPI document, made from its own schemas. A short, seeded run in every
 * test; `npm run fuzz` sends 20,000, and FUZZ_SEED another choice of them.
 */
import fc from 'fast-check'
import { openApiDocument } from '../../../src/http/openapi.ts'
import { ROUTES } from '../../../src/http/routes/all.ts'
import { requestsFor } from '../../support/fuzz/arbitrary-request.ts'
import type { ApiDocument, WireRequest } from '../../support/fuzz/arbitrary-request.ts'
import { openSender } from '../../support/fuzz/send.ts'
import type { WireReply } from '../../support/fuzz/send.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const REQUESTS = Number(process.env['FUZZ_REQUESTS'] ?? 1500)
const SEED = Number(process.env['FUZZ_SEED'] ?? 20_261_125)
const MS_A_REQUEST = 60

const service = await runningService('2026-03-04T10:00+03:00')
const own = await newDistrict(service)
const other = await newDistrict(service)
const child = await own.enrol({ birthDate: '2026-01-20' })
const hidden = await other.enrol({ name: 'Xolani Verborgen', birthDate: '2025-12-02' })
const hiddenPhone = hidden.phones[0]?.number ?? ''
await service.call('POST', `/v1/children/${child.id}/doses`, {
  token: own.token,
  body: { vaccines: ['BCG'], givenOn: '2026-01-20' },
})
const [dose] = await service.database.db.dose.findMany()

// What was made of the routes, read as any user of the document would.
const document = JSON.parse(JSON.stringify(openApiDocument(ROUTES, '0.0.0'))) as ApiDocument
const sender = openSender(service.address)
afterAll(sender.close)

const roles = ['officer', 'manager', 'vaccinator', 'machine', 'operator'] as const
const bound = await Promise.all(roles.map((role) => own.tokenFor(role)))
const unbound = await service.tokenFor('officer')
const secrets = [...bound, unbound]

const world = {
  known: {
    childId: [child.id, hidden.id],
    doseId: [dose?.id],
    districtId: [own.id, other.id],
    villageId: [own.villageId('Mbari'), other.villageId('Mbari')],
    scheduleId: ['who-2025-preferred', 'none'],
    village: [own.villageId('Kesho'), 'Kesho'],
    card: [child.cardNumber, hidden.cardNumber],
    cardNumber: [child.cardNumber, '4821 7739'],
    phone: ['+447700900123', hiddenPhone],
    name: ['Asha Temba', own.file.district.name],
    timeZone: ['Africa/Nairobi'],
    region: ['GB'],
    schedule: ['who-2025-preferred'],
    vaccines: ['all', ['BCG'], ['BOPV', 'PENTA']],
    language: ['en', 'fr'],
  },
  authorizations: (operation: string) => [
    ...bound.map((token) => `Bearer ${token}`),
    ...Array.from({ length: 10 }, () => `Bearer ${bound[0] ?? ''}`),
    // A schedule concerns every district: only this token gets past the door.
    ...Array.from({ length: operation.includes('/v1/schedules') ? 10 : 0 }, () => `Bearer ${unbound}`),
    '',
  ],
}

/** Signs that something of the inside came out: stacks, files, statements, libraries, the database. */
const INSIDE =
  /\n\s+at |node_modules|\/src\/|\.ts\b|prisma|ioredis|bullmq|duebell_test|relation "|select .+ from /i
const KINDS = /^(application\/json|application\/(?:problem|fhir)\+json|text\/csv|image\/svg\+xml)\b/

const faults: Error[] = []
process.on('uncaughtException', (error) => faults.push(error))
process.on('unhandledRejection', (reason) => faults.push(new Error(String(reason))))

const counts = new Map<string, Map<number, number>>()

function count({ operation }: WireRequest, { status }: WireReply): void {
  const row = counts.get(operation) ?? new Map<number, number>()
  counts.set(operation, row.set(status, (row.get(status) ?? 0) + 1))
}

/** What is not done is a problem document, over FHIR an OperationOutcome. */
function refusal({ status, headers }: WireReply): object {
  const isFhir = String(headers['content-type']).startsWith('application/fhir+json')
  return isFhir ? { resourceType: 'OperationOutcome' } : { status, code: expect.any(String) as string }
}

function expectSound(request: WireRequest, reply: WireReply): void {
  expect(reply.status).toBeGreaterThanOrEqual(200)
  expect(reply.status).toBeLessThan(500)
  // OPTIONS is answered with the list of methods.
  const kinds = request.method === 'OPTIONS' ? /^text\/plain|json/ : KINDS
  if (reply.text !== '') expect(reply.headers['content-type']).toMatch(kinds)
  expect(reply.headers['x-content-type-options']).toBe('nosniff')
  if (reply.status >= 400 && request.method !== 'HEAD')
    expect(JSON.parse(reply.text)).toMatchObject(refusal(reply))
  expect(reply.text).not.toMatch(INSIDE)
  expect(reply.text).not.toContain('Verborgen')
  for (const secret of secrets) expect(reply.text).not.toContain(secret)
}

test(
  'malformed requests to every route bring no fault, no crash and no leak',
  async () => {
    await fc.assert(
      fc.asyncProperty(requestsFor(document, world), async (request) => {
        const reply = await sender.send(request)
        count(request, reply)
        expectSound(request, reply)
      }),
      { numRuns: REQUESTS, seed: SEED, endOnFailure: REQUESTS > 5000 },
    )

    const sent = [...counts.values()].flatMap((row) => [...row.values()])
    const lines = [...counts].map(([operation, row]) => {
      const byStatus = [...row]
        .sort(([one], [two]) => one - two)
        .map(([status, times]) => `${status}: ${times}`)
      return `${operation.padEnd(52)} ${byStatus.join(', ')}`
    })
    const total = sent.reduce((sum, times) => sum + times, 0)
    process.stderr.write(`${lines.sort().join('\n')}\n${total} malformed requests, seed ${SEED}\n`)

    expect(total).toBeGreaterThanOrEqual(REQUESTS)
    expect([...counts.keys()].sort()).toEqual(
      ROUTES.map(({ method, path }) => `${method.toUpperCase()} ${path}`).sort(),
    )
    expect(faults).toEqual([])
    expect((await fetch(`${service.address}/health/ready`)).status).toBe(200)
    const still = await service.database.db.child.findMany({ where: { districtId: other.id } })
    expect(still.map(({ id, name }) => [id, name])).toEqual([[hidden.id, hidden.name]])
  },
  REQUESTS * MS_A_REQUEST,
)
