import { z } from 'zod'
import { EXTENSION, SYSTEM } from '../../../src/core/exchange/systems.ts'
import { ABILITIES } from '../../../src/http/fhir/capability.ts'
import { ROUTES } from '../../../src/http/routes/all.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'

// The client holds every answer against the JSON schema of R4 and a validator of its structure definitions.
const service = await runningService('2026-03-04T10:00+03:00')
const { call } = service
const district = await newDistrict(service)
const other = await newDistrict(service)

const bundle = z.object({
  link: z.array(z.object({ relation: z.string(), url: z.string() })).default([]),
  entry: z
    .array(
      z.object({
        fullUrl: z.string(),
        resource: z.looseObject({ id: z.string(), resourceType: z.string() }),
      }),
    )
    .default([]),
})

async function read(path: string, token = district.token) {
  const { status, body } = await call('GET', `/fhir/R4/${path}`, { token })
  expect(status).toBe(200)
  return z.looseObject({ resourceType: z.string() }).parse(body)
}

async function found(path: string, token = district.token) {
  return bundle.parse(await read(path, token)).entry.map(({ resource }) => resource)
}

async function give(childId: string, vaccines: string[], givenOn: string): Promise<void> {
  const body = { vaccines, givenOn }
  expect(await call('POST', `/v1/children/${childId}/doses`, { token: district.token, body })).toMatchObject({
    status: 201,
  })
}

test('a child is a Patient with its card number, village, caregiver and language', async () => {
  const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20', language: 'sw' })

  expect(await read(`Patient/${child.id}`)).toMatchObject({
    resourceType: 'Patient',
    id: child.id,
    identifier: [{ system: SYSTEM.card, value: child.cardNumber }],
    active: true,
    name: [{ text: 'Asha Temba' }],
    gender: 'female',
    birthDate: '2026-01-20',
    extension: [
      { url: EXTENSION.village, valueReference: { reference: `Location/${district.villageId('Mbari')}` } },
    ],
    address: [{ city: 'Mbari' }],
    contact: [{ telecom: [{ system: 'phone', value: phoneOf(child) }] }],
    communication: [{ language: { coding: [{ code: 'sw' }] }, preferred: true }],
  })
})

test('a child that died is a Patient that is not active any more, with the day', async () => {
  const child = await district.enrol({ name: 'Lost Temba', birthDate: '2026-01-21' })
  const body = { status: 'died', on: '2026-03-01' }
  await call('POST', `/v1/children/${child.id}/status`, { token: district.token, body })

  expect(await read(`Patient/${child.id}`)).toMatchObject({ active: false, deceasedDateTime: '2026-03-01' })
})

test('a dose is an Immunization in our code, CVX and ATC, and a withdrawn one entered in error', async () => {
  const child = await district.enrol({ name: 'Binta Ford', birthDate: '2026-01-22' })
  await give(child.id, ['PENTA'], '2026-03-04')
  const [dose] = await found(`Immunization?patient=${child.id}`)

  expect(dose).toMatchObject({
    status: 'completed',
    // CVX: CDC table HL7 0292; ATC: index of the WHO Collaborating Centre.
    vaccineCode: {
      coding: [
        { system: SYSTEM.vaccine, code: 'PENTA' },
        { system: 'http://hl7.org/fhir/sid/cvx', code: '198' },
        { system: 'http://www.whocc.no/atc', code: 'J07CA11' },
      ],
    },
    patient: { reference: `Patient/${child.id}` },
    occurrenceDateTime: '2026-03-04',
    primarySource: true,
  })
  await call('POST', `/v1/doses/${dose?.id ?? ''}/withdrawal`, {
    token: district.token,
    body: { reason: 'wrong child' },
  })
  expect(await read(`Immunization/${dose?.id ?? ''}`)).toMatchObject({
    status: 'entered-in-error',
    note: [{ text: 'withdrawn: wrong child' }],
  })
})

test('a dose whose hour was told carries it with the distance from UTC of the district', async () => {
  const child = await district.enrol({ name: 'Baraka Ford', birthDate: '2026-01-22' })
  const body = { vaccines: ['PENTA'], givenOn: '2026-03-04', givenTime: '00:20' }
  await call('POST', `/v1/children/${child.id}/doses`, { token: district.token, body })

  const [dose] = await found(`Immunization?patient=${child.id}`)
  expect(dose).toMatchObject({ occurrenceDateTime: '2026-03-04T00:20:00+03:00' })
})

test('what is next is an ImmunizationRecommendation with the dates of the forecast', async () => {
  const child = await district.enrol({ name: 'Chipo Kesho', birthDate: '2026-02-01' })
  const { body } = await call('GET', `/v1/children/${child.id}/forecast`, { token: district.token })
  const { next } = z
    .object({ next: z.array(z.object({ series: z.string(), earliest: z.string(), due: z.string() })) })
    .parse(body)

  const resource = await read(`ImmunizationRecommendation/${child.id}`)

  const told = z
    .array(z.object({ series: z.string(), dateCriterion: z.array(z.object({ value: z.string() })) }))
    .parse(resource['recommendation'])
  expect(next.length).toBeGreaterThan(4)
  expect(
    told.map(({ series, dateCriterion }) => [series, ...dateCriterion.slice(0, 2).map(({ value }) => value)]),
  ).toEqual(next.map(({ series, earliest, due }) => [series, earliest, due]))
  expect(await found(`ImmunizationRecommendation?patient=Patient/${child.id}`)).toEqual([resource])
})

test('districts, posts and villages are Locations, within their district', async () => {
  const places = await found('Location')

  expect(places.map((place) => place['name'])).toEqual([
    district.file.district.name,
    'Ford',
    'Kesho',
    'Mbari',
  ])
  expect(await read(`Location/${district.villageId('Mbari')}`)).toMatchObject({
    name: 'Mbari',
    partOf: { reference: `Location/${district.id}` },
  })
  expect(await found('Location?name=mba')).toHaveLength(1)
})

test('$everything hands out what the register holds, and notes who asked', async () => {
  const child = await district.enrol({ name: 'Dafina Rill', birthDate: '2026-01-05' })
  await give(child.id, ['BCG', 'BOPV'], '2026-01-30')
  await give(child.id, ['PENTA', 'PCV'], '2026-03-02')

  const everything = await found(`Patient/${child.id}/$everything`)

  const doses = await call('GET', `/v1/children/${child.id}/doses`, { token: district.token })
  const onRecord = z
    .object({ doses: z.array(z.object({ id: z.string(), vaccine: z.string(), givenOn: z.string() })) })
    .parse(doses.body).doses
  const handedOut = everything.filter(({ resourceType }) => resourceType === 'Immunization')
  const inShort = (each: { id: string }, vaccine: unknown, day: unknown) =>
    `${each.id} ${String(vaccine)} ${String(day)}`
  expect(
    handedOut
      .map((each) =>
        inShort(
          each,
          z.object({ text: z.string() }).parse(each['vaccineCode']).text,
          each['occurrenceDateTime'],
        ),
      )
      .sort(),
  ).toEqual(onRecord.map((each) => inShort(each, each.vaccine, each.givenOn)).sort())
  expect(everything.map(({ resourceType }) => resourceType)).toEqual([
    'Patient',
    ...Array<string>(4).fill('Immunization'),
    'ImmunizationRecommendation',
  ])
  const notes = await service.database.db.change.findMany({
    where: { subjectId: child.id, act: 'hand-out-history' },
  })
  expect(notes).toMatchObject([{ actor: 'officer', after: { doses: 4 } }])
})

describe('a search', () => {
  test('pages with links until all is told, each once', async () => {
    const page = bundle.parse(await read('Patient?_count=2'))
    const ids = page.entry.map(({ resource }) => resource.id)
    let next = page.link.find(({ relation }) => relation === 'next')?.url
    while (next !== undefined) {
      expect(next.startsWith(`${service.address}/fhir/R4/Patient?`)).toBe(true)
      const more = bundle.parse(await read(next.slice(`${service.address}/fhir/R4/`.length)))
      ids.push(...more.entry.map(({ resource }) => resource.id))
      next = more.link.find(({ relation }) => relation === 'next')?.url
    }

    const all = await service.database.db.child.findMany({ where: { districtId: district.id } })
    expect(ids).toEqual(all.map(({ id }) => id).sort())
  })

  test('finds children by card number, birth date and village', async () => {
    const child = await district.enrol({ name: 'Efua Bank', birthDate: '2025-12-24', village: 'Kesho' })
    const grouped = `${child.cardNumber.slice(0, 4)} ${child.cardNumber.slice(4)}`
    const ids = async (query: string) => (await found(`Patient?${query}`)).map(({ id }) => id)

    for (const identifier of [child.cardNumber, grouped, `${SYSTEM.card}|${child.cardNumber}`])
      expect(await ids(`identifier=${encodeURIComponent(identifier)}`)).toEqual([child.id])
    expect(await ids(`identifier=urn:example:other|${child.cardNumber}`)).toEqual([])
    for (const dates of [
      'birthdate=2025-12-24',
      'birthdate=2025-12',
      'birthdate=ge2025-12-24&birthdate=lt2025-12-25',
    ])
      expect(await ids(dates)).toEqual([child.id])
    expect(await ids('birthdate=gt2025-12-24&birthdate=le2025-12-31')).toEqual([])
    expect(await ids(`location=Location/${district.villageId('Kesho')}`)).toEqual([child.id])
    expect(await ids(`_id=${child.id}`)).toEqual([child.id])
  })

  test('finds what changed since it was last asked: an enrolment, a new phone, a status, a withdrawn dose', async () => {
    const child = await district.enrol({ name: 'Fola Sand', birthDate: '2026-01-11' })
    await give(child.id, ['BCG'], '2026-03-03')
    const changes: (() => Promise<unknown>)[] = [
      () =>
        call('PUT', `/v1/children/${child.id}/phone`, {
          token: district.token,
          body: { caregiver: { phone: district.newPhone() } },
        }),
      () =>
        call('POST', `/v1/children/${child.id}/status`, {
          token: district.token,
          body: { status: 'lost', on: '2026-03-04' },
        }),
      () =>
        call('PATCH', `/v1/children/${child.id}`, { token: district.token, body: { name: 'Fola Stone' } }),
    ]
    for (const change of changes) {
      const before = z.object({ lastUpdated: z.string() }).parse((await read(`Patient/${child.id}`))['meta'])
      const since = `_lastUpdated=gt${encodeURIComponent(before.lastUpdated)}`
      expect(await found(`Patient?_id=${child.id}&${since}`)).toEqual([])
      await change()
      expect((await found(`Patient?${since}`)).map(({ id }) => id)).toEqual([child.id])
    }
    const [dose] = await found(`Immunization?patient=${child.id}`)
    const { lastUpdated } = z.object({ lastUpdated: z.string() }).parse(dose?.['meta'])
    await call('POST', `/v1/doses/${dose?.id ?? ''}/withdrawal`, {
      token: district.token,
      body: { reason: 'slip' },
    })
    expect((await found(`Immunization?_lastUpdated=gt${lastUpdated}`)).map(({ id }) => id)).toEqual([
      dose?.id,
    ])
  })

  test('finds doses by day, vaccine in any code, status and place', async () => {
    const child = await district.enrol({ name: 'Gbenga Wall', birthDate: '2026-01-12' })
    await give(child.id, ['BOPV', 'ROTA2'], '2026-03-02')
    const count = async (query: string) => (await found(`Immunization?patient=${child.id}&${query}`)).length

    expect(await count('date=2026-03-02')).toBe(2)
    expect(await count('date=lt2026-03-02')).toBe(0)
    for (const code of ['BOPV', '178', 'http://www.whocc.no/atc|J07BF04', 'http://hl7.org/fhir/sid/cvx|182'])
      expect(await count(`vaccine-code=${encodeURIComponent(code)}`)).toBe(1)
    expect(await count('vaccine-code=999')).toBe(0)
    expect(await count('status=completed')).toBe(2)
    expect(await count('status=entered-in-error')).toBe(0)
    expect(await count(`location=${district.villageId('Mbari')}`)).toBe(2)
    expect(await count(`location=${district.villageId('Kesho')}`)).toBe(0)
  })

  test.each([
    'Patient?name=Asha',
    'Patient?birthdate=yesterday',
    'Patient?_count=many',
    'Immunization?patient=me',
  ])('refuses %s, which it would otherwise have to answer wrongly', async (path) => {
    expect(await call('GET', `/fhir/R4/${path}`, { token: district.token })).toMatchObject({
      status: 400,
      body: { issue: [{ severity: 'error', code: 'invalid' }] },
    })
  })

  test('shows nothing of another district', async () => {
    const child = await other.enrol({ name: 'Hidden Vale', birthDate: '2026-01-13' })

    expect(await found(`Patient?identifier=${child.cardNumber}`)).toEqual([])
    expect(await found(`Location?_id=${other.villageId('Mbari')}`)).toEqual([])
    expect((await call('GET', `/fhir/R4/Patient/${child.id}`, { token: district.token })).status).toBe(404)
    const everywhere = await service.tokenFor('officer')
    expect(await found(`Patient?identifier=${child.cardNumber}`, everywhere)).toHaveLength(1)
  })
})

test('an error is an OperationOutcome with the code of the same problem elsewhere', async () => {
  const gone = '019abe80-0000-7000-8000-000000000000'

  expect(await call('GET', `/fhir/R4/Patient/${gone}`, { token: district.token })).toMatchObject({
    status: 404,
    body: { issue: [{ code: 'not-found', details: { coding: [{ code: 'resource-not-found' }] } }] },
  })
  expect(await call('GET', '/fhir/R4/Patient')).toMatchObject({
    status: 401,
    body: { issue: [{ code: 'login', details: { coding: [{ code: 'not-signed-in' }] } }] },
  })
  expect((await call('GET', '/fhir/R4/Nothing', { token: district.token })).status).toBe(404)
})

test('the CapabilityStatement is open to everyone and names the search parameters of the routes', async () => {
  const { status, body } = await call('GET', '/fhir/R4/metadata')

  expect(status).toBe(200)
  expect(body).toMatchObject({ resourceType: 'CapabilityStatement', fhirVersion: '4.0.1' })
  for (const { type, params } of ABILITIES) {
    const route = ROUTES.find(({ method, path }) => method === 'get' && path === `/fhir/R4/${type}`)
    const ways = ['_count', '_after', '_format']
    const named = Object.keys(route?.query.shape ?? {}).filter((name) => !ways.includes(name))
    expect(params.map(({ name }) => name).sort()).toEqual(named.sort())
  }
})
