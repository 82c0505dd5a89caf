import { z } from 'zod'
import { EXTENSION } from '../../../src/core/exchange/systems.ts'
import { faultsOf } from '../../support/fhir-validity.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import { testVault } from '../../support/test-vault.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, address, database } = service
const district = await newDistrict(service)
const officer = district.token
const machine = await district.tokenFor('machine')
const manager = await district.tokenFor('manager')

const resourceShape = z.looseObject({ resourceType: z.string(), id: z.string() })
type Line = z.output<typeof resourceShape>
const manifestShape = z.object({
  transactionTime: z.string(),
  requiresAccessToken: z.literal(true),
  output: z.array(z.object({ type: z.string(), url: z.string() })),
})

/** Goes the way of the pattern: start, manifest, files. */
async function exportAll(query: string, token: string) {
  const started = await fetch(`${address}/fhir/R4/$export${query}`, {
    headers: { authorization: `Bearer ${token}`, prefer: 'respond-async', accept: 'application/fhir+json' },
  })
  expect(started.status).toBe(202)
  await started.body?.cancel()
  const location = started.headers.get('content-location') ?? ''
  const { body } = await call('GET', location.slice(address.length), { token })
  const manifest = manifestShape.parse(body)
  const files = new Map<string, Line[]>()
  for (const { type, url } of manifest.output) {
    const file = await call('GET', url.slice(address.length), { token })
    expect([file.status, file.type]).toEqual([200, 'application/fhir+ndjson'])
    const lines = String(file.body).split('\n')
    expect(lines.pop()).toBe('')
    const resources = lines.map((line) => resourceShape.parse(JSON.parse(line)))
    for (const resource of resources) {
      expect(resource.resourceType).toBe(type)
      expect(faultsOf(resource)).toEqual([])
    }
    files.set(type, resources)
  }
  return { manifest, files, linesOf: (type: string) => files.get(type) ?? [] }
}

const NAMES = ['Asha', 'Binta', 'Chipo', 'Dafina', 'Efua', 'Fola']

beforeAll(async () => {
  for (const [place, name] of NAMES.entries()) {
    const day = String(place + 1).padStart(2, '0')
    // Six girls of one month in Mbari; in Kesho a single boy.
    const child = await district.enrol({ name: `${name} Temba`, birthDate: `2026-01-${day}`, sex: 'female' })
    const body = { vaccines: ['BCG'], givenOn: '2026-03-03' }
    await call('POST', `/v1/children/${child.id}/doses`, { token: officer, body })
  }
  const boy = await district.enrol({
    name: 'Gbenga Wall',
    birthDate: '2025-07-09',
    sex: 'male',
    village: 'Kesho',
  })
  await call('POST', `/v1/children/${boy.id}/doses`, {
    token: officer,
    body: { vaccines: ['PENTA'], givenOn: '2026-03-03' },
  })
  await call('POST', `/v1/children/${boy.id}/reactions`, {
    token: officer,
    body: { words: 'Gbenga had fits', reactionOn: '2026-03-03' },
  })
})

test('an export with identities tells every child, dose, reaction and place once, each line a valid resource', async () => {
  const { linesOf } = await exportAll('?_identified=true', machine)

  expect(linesOf('Patient')).toHaveLength(7)
  expect(linesOf('Immunization')).toHaveLength(7)
  expect(linesOf('AdverseEvent')).toHaveLength(1)
  expect(linesOf('Location')).toHaveLength(4)
  expect(linesOf('Patient').map(({ id }) => id)).toEqual(
    (await database.db.child.findMany({ where: { districtId: district.id } })).map(({ id }) => id).sort(),
  )
})

test('only what changed since the last export is told, from its own time on', async () => {
  const { manifest } = await exportAll('?_identified=true&_type=Patient', machine)
  const child = await district.enrol({ name: 'Hawa Ridge', birthDate: '2026-01-20', sex: 'female' })

  const next = await exportAll(`?_identified=true&_type=Patient&_since=${manifest.transactionTime}`, machine)

  expect(next.linesOf('Patient').map(({ id }) => id)).toEqual([child.id])
  expect([...next.files.keys()]).toEqual(['Patient'])
})

describe('without identities, which is the usual way', () => {
  test('no name, number, phone, word or exact day goes out, and no identifier of the register', async () => {
    const { files } = await exportAll('', manager)
    const text = JSON.stringify([...files].filter(([type]) => type !== 'Location'))

    expect(text).not.toMatch(/Temba|Gbenga|fits|\+44|telecom|identifier"/)
    expect(text).not.toMatch(/\d{4}-\d{2}-\d{2}/)
    for (const { id, cardNumber } of await database.db.child.findMany({
      where: { districtId: district.id },
    })) {
      expect(text).not.toContain(id)
      expect(text).not.toContain(cardNumber)
    }
  })

  test('doses stay with their child, under identifiers that only this export has', async () => {
    const one = await exportAll('?_type=Patient,Immunization', manager)
    const other = await exportAll('?_type=Patient', manager)
    const ids = new Set(one.linesOf('Patient').map(({ id }) => id))
    const refers = z.object({ patient: z.object({ reference: z.string() }) })

    for (const dose of one.linesOf('Immunization'))
      expect(ids).toContain(refers.parse(dose).patient.reference.replace('Patient/', ''))
    expect(other.linesOf('Patient').filter(({ id }) => ids.has(id))).toEqual([])
  })

  test('whoever knows village, month and sex of a child finds at least five alike, or none', async () => {
    const { linesOf } = await exportAll('?_type=Patient', manager)
    const told = linesOf('Patient').map((patient) =>
      JSON.stringify([patient['extension'], patient['birthDate'], patient['gender']]),
    )

    // The setting publishedCountAtLeast of the indicators: smaller groups are not told apart.
    for (const facts of new Set(told)) {
      if (!facts.includes(EXTENSION.village) && !/\d{4}-\d{2}/.test(facts)) continue
      expect(told.filter((each) => each === facts).length).toBeGreaterThanOrEqual(5)
    }
    // The only boy of his village and month keeps the year of his birth, and nothing else.
    expect(told.filter((facts) => facts === JSON.stringify([undefined, '2025', undefined]))).toHaveLength(1)
  })
})

test('names go out only to officers and machines; vaccinators export nothing', async () => {
  const start = (query: string, token: string) => call('GET', `/fhir/R4/$export${query}`, { token })

  expect((await start('?_identified=true', manager)).status).toBe(403)
  expect((await start('', await district.tokenFor('vaccinator'))).status).toBe(403)
  const { manifest } = await exportAll('?_type=Patient', manager)
  const url = new URL(manifest.output[0]?.url ?? '')
  url.searchParams.set('_identified', 'true')
  expect((await call('GET', url.href.slice(address.length), { token: manager })).status).toBe(403)
})

test('what went out is noted: who, what, how many, when', async () => {
  await exportAll('?_type=Immunization', manager)

  const [note] = await database.db.change.findMany({
    where: { act: 'exchange-out', actor: 'manager' },
    orderBy: { id: 'desc' },
    take: 1,
  })
  expect(note).toMatchObject({
    districtId: district.id,
    happenedAt: new Date('2026-03-04T07:00:00Z'),
    after: { type: 'Immunization', resources: 7, isIdentified: false },
  })
})

test('nothing of another district goes out', async () => {
  const other = await newDistrict(service)
  const hidden = await other.enrol({ name: 'Hidden Vale', birthDate: '2026-01-13' })

  const { linesOf } = await exportAll('?_identified=true', machine)

  expect(linesOf('Patient').map(({ id }) => id)).not.toContain(hidden.id)
  expect(JSON.stringify(linesOf('Location'))).not.toContain(other.id)
})

test('memory does not grow with the register: a file of many pages is read as it is fetched', async () => {
  const big = await newDistrict(service)
  const villageId = big.villageId('Mbari')
  await database.pool.query(
    `insert into child (id, district_id, village_id, card_number, name, birth_on, enrolled_on, enrolled_by, enrolled_via)
     select gen_random_uuid(), $1, $2, lpad((10000000 + n)::text, 8, '0'), $3, '2026-01-01', '2026-01-02', 'a test', 'import'
     from generate_series(1, 20000) n`,
    [big.id, villageId, testVault.seal('text', 'Many Temba')],
  )
  const token = await big.tokenFor('machine')
  const { body } = await call('GET', '/fhir/R4/$export?_identified=true&_type=Patient', { token })
  const [issue] = z.object({ issue: z.array(z.object({ diagnostics: z.string() })) }).parse(body).issue
  const manifest = manifestShape.parse(
    (await call('GET', (issue?.diagnostics ?? '').slice(address.length), { token })).body,
  )
  const response = await fetch(manifest.output[0]?.url ?? '', {
    headers: { authorization: `Bearer ${token}` },
  })
  let lines = 0
  let first = 0
  let most = 0
  for await (const chunk of response.body ?? []) {
    lines +=
      Buffer.from(chunk as Uint8Array)
        .toString('latin1')
        .split('\n').length - 1
    const { heapUsed } = process.memoryUsage()
    if (first === 0) first = heapUsed
    most = Math.max(most, heapUsed)
  }

  expect(lines).toBe(20_000)
  // The file has some 15 MB; without a limit on pages it would all be there at once, as objects several times that.
  expect(most - first).toBeLessThan(120_000_000)
}, 60_000)
