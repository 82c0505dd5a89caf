import { readdirSync, readFileSync } from 'node:fs'
import { Readable } from 'node:stream'
import { z } from 'zod'
import { importRegister } from '../../../src/app/import-register.ts'
import { csvLines } from '../../../src/app/register-lines.ts'
import { EXTENSION, SYSTEM } from '../../../src/core/exchange/systems.ts'
import {
  aBundle,
  anImmunization,
  aPatient,
  CIVIL,
  entriesOf,
  NATIONAL,
  send as sendTo,
} from '../../support/fhir-delivery.ts'
import type { ResourceJson } from '../../support/fhir-delivery.ts'
import { childNamed } from '../../support/child-named.ts'
import { faultsOf } from '../../support/fhir-validity.ts'
import { pageVisitor } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, database } = service
const district = await newDistrict(service)
const machine = await district.tokenFor('machine')
const send = (resources: ResourceJson[], type?: string) => sendTo(service, machine, resources, type)

async function childOf(number: string) {
  const { body } = await call('GET', `/fhir/R4/Patient?identifier=${CIVIL}|${number}`, { token: machine })
  const { entry } = z
    .object({ entry: z.array(z.object({ resource: z.looseObject({ id: z.string() }) })).default([]) })
    .parse(body)
  return entry[0]?.resource
}

/** Doses of a child on record, in words. */
async function dosesOf(number: string): Promise<string[]> {
  const id = (await childOf(number))?.id ?? ''
  const doses = await database.db.dose.findMany({
    where: { childId: id },
    orderBy: [{ givenOn: 'asc' }, { id: 'asc' }],
  })
  return doses.map(({ vaccine, givenOn, voidedAt, isElsewhere }) =>
    [
      vaccine,
      givenOn.toISOString().slice(0, 10),
      voidedAt === null ? '' : 'withdrawn',
      isElsewhere ? 'elsewhere' : 'here',
    ]
      .filter((word) => word !== '')
      .join(' '),
  )
}

async function reviewNotes(number: string): Promise<(string | null)[]> {
  const childId = (await childOf(number))?.id ?? ''
  const items = await database.db.reviewItem.findMany({ where: { childId, kind: 'other-register' } })
  return items.map(({ note }) => note)
}

describe('a transaction', () => {
  test('enrols a child with its doses, and the same again changes nothing', async () => {
    const delivery = [
      aPatient({ number: 'C-1', name: 'Asha Temba' }),
      anImmunization({ child: 'C-1', number: 'D-1', cvx: '19', on: '2026-01-21' }),
      anImmunization({ child: 'C-1', number: 'D-2', cvx: '198', on: '2026-03-03' }),
    ]

    const first = await send(delivery)
    const before = [await childOf('C-1'), await dosesOf('C-1')]
    const second = await send(delivery)

    expect(first.map(({ status }) => status)).toEqual(['201', '201', '201'])
    expect(first[0]?.location).toMatch(/^Patient\//)
    expect(second.map(({ status }) => status)).toEqual(['200', '200', '200'])
    expect(second.map(({ location }) => location)).toEqual(first.map(({ location }) => location))
    expect(before[1]).toEqual(['BCG 2026-01-21 elsewhere', 'PENTA 2026-03-03 elsewhere'])
    expect([await childOf('C-1'), await dosesOf('C-1')]).toEqual(before)
  })

  test('is taken whole or not at all, and says which entry was wrong', async () => {
    const reply = await call('POST', '/fhir/R4', {
      token: machine,
      body: aBundle([aPatient({ number: 'C-2' }), aPatient({ number: 'C-3', birthDate: '2027-01-01' })]),
    })

    expect(reply).toMatchObject({
      status: 422,
      body: { issue: [{ details: { coding: [{ code: 'birth-in-future' }] } }] },
    })
    expect(JSON.stringify(reply.body)).toContain('entry 2')
    expect(await childOf('C-2')).toBeUndefined()
  })

  test('lets doses refer to a child of the same Bundle by its address there', async () => {
    const { entry } = aBundle([
      { ...anImmunization({ child: '', number: 'D-4' }), patient: { reference: 'urn:uuid:a' } },
      aPatient({ number: 'C-4', name: 'Delu Wanga' }),
    ])
    const body = {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [entry[0], { ...entry[1], fullUrl: 'urn:uuid:a' }],
    }

    expect(
      entriesOf(await call('POST', '/fhir/R4', { token: machine, body })).map(({ status }) => status),
    ).toEqual(['201', '201'])
    expect(await dosesOf('C-4')).toEqual(['PENTA 2026-03-03 elsewhere'])
  })

  test('takes PUT by identifier, as a conditional create', async () => {
    const put = (resource: ResourceJson, url: string) => ({ resource, request: { method: 'PUT', url } })
    const body = {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [put(aPatient({ number: 'C-5', name: 'Efua Bank' }), `Patient?identifier=${CIVIL}|C-5`)],
    }

    expect(entriesOf(await call('POST', '/fhir/R4', { token: machine, body }))).toMatchObject([
      { status: '201' },
    ])
    expect(entriesOf(await call('POST', '/fhir/R4', { token: machine, body }))).toMatchObject([
      { status: '200' },
    ])
  })

  test.each([
    ['DELETE', 'Patient/1'],
    ['PUT', 'Patient/1'],
    ['POST', 'Observation'],
  ])('refuses %s %s', async (method, url) => {
    const body = {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [{ resource: aPatient({ number: 'C-6' }), request: { method, url } }],
    }

    expect(await call('POST', '/fhir/R4', { token: machine, body })).toMatchObject({
      status: 422,
      body: { issue: [{ details: { coding: [{ code: 'resource-unsupported' }] } }] },
    })
  })
})

test('of a batch, each entry is taken or refused for itself', async () => {
  const answers = await send(
    [
      aPatient({ number: 'C-10', name: 'Gbenga Wall' }),
      aPatient({ number: 'C-11', birthDate: '1974-12-25' }),
      anImmunization({ child: 'C-10', number: 'D-10' }),
    ],
    'batch',
  )

  expect(answers).toMatchObject([
    { status: '201' },
    { status: '422', code: 'birth-too-long-ago' },
    { status: '201' },
  ])
})

describe('the published R4 examples', () => {
  const read = (name: string) =>
    JSON.parse(
      readFileSync(new URL(`../../fixtures/fhir-r4/${name}`, import.meta.url), 'utf8'),
    ) as ResourceJson
  const names = readdirSync(new URL('../../fixtures/fhir-r4/', import.meta.url)).filter((name) =>
    name.endsWith('.json'),
  )

  test.each(names)('%s is valid, so that it stands for what is published', (name) => {
    expect(faultsOf(read(name))).toEqual([])
  })

  test('the infant twins are two children, with their numbers and their mother’s phone', async () => {
    const twins = ['patient-infant-twin-1.json', 'patient-infant-twin-2.json'].map(read)
    const village = district.villageId('Mbari')
    const body = aBundle(twins)

    const reply = await call('POST', `/fhir/R4?village=${village}`, { token: machine, body })

    expect(entriesOf(reply).map(({ status }) => status)).toEqual(['201', '201'])
    const { body: found } = await call('GET', '/fhir/R4/Patient?birthdate=2017-05-15', { token: machine })
    expect(found).toMatchObject({
      entry: [
        {
          resource: {
            name: [{ text: 'Jaina Solo' }],
            gender: 'female',
            contact: [{ telecom: [{ value: '+31201234567' }] }],
          },
        },
        {
          resource: {
            name: [{ text: 'Jacen Solo' }],
            gender: 'male',
            contact: [{ telecom: [{ value: '+31201234567' }] }],
          },
        },
      ],
    })
  })

  test('the doses are kept, and those whose code or day means nothing here are put aside', async () => {
    const doses = names.filter((name) => name.startsWith('immunization-')).map(read)
    await send([aPatient({ number: 'example', name: 'Pieter Example', birthDate: '2012-12-25' })])
    const answers: unknown[] = []
    for (const dose of doses) {
      const patient = { identifier: { system: CIVIL, value: 'example' } }
      answers.push(
        ...(await send([{ ...dose, patient }])).map(({ status, code }) => `${status} ${code ?? ''}`),
      )
    }

    expect(answers).toEqual([
      '202 code-not-known', // FLUVAX of an Australian code system
      '202 code-not-known', // the same, in "January 2012"
      '200 not-a-dose', // not given
      '202 code-not-known', // hepatitis A and B, which no schedule here has
      '202 code-not-known',
    ])
  })

  test('a newborn without a name is refused with what is missing', async () => {
    const reply = await call('POST', '/fhir/R4', {
      token: machine,
      body: aBundle([read('patient-newborn.json')]),
    })

    expect(reply.status).toBe(422)
    expect(JSON.stringify(reply.body)).toContain('a child needs a name')
  })
})

describe('doses that come before their child', () => {
  test('wait for it and are on record once it comes, also by its card', async () => {
    const early = anImmunization({ child: 'C-20', number: 'D-20' })
    expect(await send([early])).toMatchObject([{ status: '202', code: 'child-not-known' }])

    expect(await send([aPatient({ number: 'C-20', name: 'Hawa Ridge' })])).toMatchObject([{ status: '201' }])

    expect(await dosesOf('C-20')).toEqual(['PENTA 2026-03-03 elsewhere'])
    const { body } = await call('GET', `/v1/districts/${district.id}/doses-aside`, { token: machine })
    expect(JSON.stringify(body)).not.toContain('D-20')
  })

  test('come on record when a child that was enrolled by hand gets the number', async () => {
    await send([anImmunization({ child: 'C-22', number: 'D-22' })])
    const child = await district.enrol({ name: 'Imani Wharf', birthDate: '2026-01-15' })
    const numbers = [{ issuer: CIVIL, number: 'C-22' }]

    await call('POST', `/v1/children/${child.id}/numbers`, { token: machine, body: { numbers } })

    expect(await dosesOf('C-22')).toEqual(['PENTA 2026-03-03 elsewhere'])
  })

  test('are listed with what they wait for', async () => {
    await send([anImmunization({ child: 'C-21', number: 'D-21' })])

    const { body } = await call('GET', `/v1/districts/${district.id}/doses-aside`, { token: machine })

    expect(z.object({ doses: z.array(z.unknown()) }).parse(body).doses).toContainEqual(
      expect.objectContaining({ issuer: NATIONAL, number: 'D-21', problem: 'child-not-known' }),
    )
  })
})

test('the page of a child says how the child and each dose came on record', async () => {
  await send([
    aPatient({ number: 'C-90', name: 'Origin Here' }),
    anImmunization({ child: 'C-90', number: 'D-90', cvx: '19', on: '2026-01-21' }),
  ])
  const csv = 'name,birth_date,village,phone,BCG\nOrigin There,2026-01-22,Mbari,07700900391,2026-01-23\n'
  const order = {
    districtId: district.id,
    by: 'test',
    isDryRun: false,
    onProblem: (problem: unknown) => {
      expect(problem).toBeNull()
    },
    onProgress: () => undefined,
  }
  await importRegister(service.deps, order, csvLines(Readable.from([csv])))
  const { cardNumber, id } = await district.enrol({ name: 'Origin Post', birthDate: '2026-01-20' })
  await service.ask(district.vaccinator, `GAVE ${cardNumber} PENTA 03/03/2026`)
  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  const textOf = async (childId: string) =>
    (await visitor.get(`/districts/${district.id}/children/${childId}`)).text

  const here = await textOf((await childOf('C-90'))?.id ?? '')
  expect(here).toMatch(/On the register since [^,]+, from another system/)
  expect(here).toMatch(/<td>from another system<\/td>/)
  const there = await textOf((await childNamed(database.db, 'Origin There')).id)
  expect(there).toMatch(/On the register since [^,]+, from a register taken over/)
  expect(there).toMatch(/<td>from a register taken over<\/td>/)
  const post = await textOf(id)
  expect(post).toMatch(/On the register since [^,]+, over the API/)
  expect(post).toMatch(/<td>by text<\/td>/)
})

describe('what another register says otherwise', () => {
  test('a dose it takes back is withdrawn, also where that came first', async () => {
    const given = anImmunization({ child: 'C-30', number: 'D-30' })
    const takenBack = anImmunization({ child: 'C-30', number: 'D-30', status: 'entered-in-error' })
    await send([aPatient({ number: 'C-30', name: 'Ife Marsh' }), given])
    await send([takenBack])
    expect(await dosesOf('C-30')).toEqual(['PENTA 2026-03-03 withdrawn elsewhere'])
    await send([given])
    expect(await dosesOf('C-30')).toEqual(['PENTA 2026-03-03 withdrawn elsewhere'])

    await send([
      aPatient({ number: 'C-31', name: 'Jomo Vale' }),
      {
        ...takenBack,
        patient: { identifier: { system: CIVIL, value: 'C-31' } },
        identifier: [{ system: NATIONAL, value: 'D-31' }],
      },
    ])
    await send([anImmunization({ child: 'C-31', number: 'D-31' })])
    expect(await dosesOf('C-31')).toEqual([])
  })

  test('a dose it corrects moves, by the time it says it did so', async () => {
    const wrong = anImmunization({
      child: 'C-32',
      number: 'D-32',
      on: '2026-03-01',
      statedAt: '2026-03-02T08:00:00Z',
    })
    const right = anImmunization({
      child: 'C-32',
      number: 'D-32',
      on: '2026-03-02',
      statedAt: '2026-03-03T08:00:00Z',
    })
    await send([aPatient({ number: 'C-32', name: 'Kato Hill' }), wrong])
    await send([right])
    await send([wrong])

    expect(await dosesOf('C-32')).toEqual([
      'PENTA 2026-03-01 withdrawn elsewhere',
      'PENTA 2026-03-02 elsewhere',
    ])
  })

  test('a dose recorded here stands, and a person is asked once', async () => {
    await send([aPatient({ number: 'C-33', name: 'Lulu Shore' })])
    const childId = (await childOf('C-33'))?.id ?? ''
    await call('POST', `/v1/children/${childId}/doses`, {
      token: district.token,
      body: { vaccines: ['PENTA'], givenOn: '2026-03-03' },
    })
    const takenBack = anImmunization({ child: 'C-33', number: 'D-33', status: 'entered-in-error' })
    await send([takenBack])
    await send([takenBack])

    expect(await dosesOf('C-33')).toEqual(['PENTA 2026-03-03 here'])
    expect(await reviewNotes('C-33')).toEqual([
      `${NATIONAL} took back PENTA on 2026-03-03; it was recorded here as well.`,
    ])
  })

  test('a dose withdrawn here does not come back, and a person is asked', async () => {
    const dose = anImmunization({ child: 'C-34', number: 'D-34' })
    const [, taken] = await send([aPatient({ number: 'C-34', name: 'Mosi Field' }), dose])
    const doseId = taken?.location?.split('/')[1] ?? ''
    await call('POST', `/v1/doses/${doseId}/withdrawal`, {
      token: district.token,
      body: { reason: 'wrong child' },
    })

    expect(await send([dose])).toMatchObject([{ status: '202', code: 'withdrawn-here' }])
    expect(await dosesOf('C-34')).toEqual(['PENTA 2026-03-03 withdrawn elsewhere'])
    expect(await reviewNotes('C-34')).toHaveLength(1)
  })

  test('a child that differs is not overwritten, and a person is asked', async () => {
    await send([aPatient({ number: 'C-35', name: 'Nuru Glen' })])

    const answers = await send([aPatient({ number: 'C-35', name: 'Nuru Glen', birthDate: '2026-02-20' })])

    expect(answers).toMatchObject([{ status: '200', code: 'differs' }])
    expect(await childOf('C-35')).toMatchObject({ birthDate: '2026-01-20' })
    expect(await reviewNotes('C-35')).toHaveLength(1)
  })

  test('a child that may be on the register under no such number is not enrolled twice', async () => {
    await district.enrol({ name: 'Oba Reed', birthDate: '2026-01-28', sex: 'male' })
    const stranger = aPatient({ number: 'C-36', name: 'Oba Reed', birthDate: '2026-01-28', gender: 'male' })

    expect(await send([stranger], 'batch')).toMatchObject([{ status: '409', code: 'child-may-exist' }])
  })

  test('numbers of two children in one are refused', async () => {
    await send([
      aPatient({ number: 'C-37', name: 'Pendo Brook' }),
      aPatient({ number: 'C-38', name: 'Quaye Dune' }),
    ])
    const both = aPatient({
      number: 'C-37',
      name: 'Pendo Brook',
      more: { identifier: [37, 38].map((n) => ({ system: CIVIL, value: `C-${n}` })) },
    })

    expect(await send([both], 'batch')).toMatchObject([{ status: '409', code: 'numbers-disagree' }])
  })
})

test('a death that another register tells of ends every text, and doses before it are still taken', async () => {
  const phone = district.newPhone()
  const contact = [{ telecom: [{ system: 'phone', value: phone }] }]
  const [taken] = await send([aPatient({ number: 'C-40', name: 'Rahma Fell', more: { contact } })])
  const childId = taken?.location?.split('/')[1] ?? ''
  const open = () => database.db.reminder.count({ where: { childId, status: { in: ['planned', 'queued'] } } })
  expect(await open()).toBeGreaterThan(0)

  await send([aPatient({ number: 'C-40', name: 'Rahma Fell', more: { deceasedDateTime: '2026-03-02' } })])

  expect(await open()).toBe(0)
  expect(await send([anImmunization({ child: 'C-40', number: 'D-40', on: '2026-03-01' })])).toMatchObject([
    { status: '201' },
  ])
  expect(await send([anImmunization({ child: 'C-40', number: 'D-41', on: '2026-03-03' })])).toMatchObject([
    { status: '202', code: 'child-closed' },
  ])
})

test('a dose given at a post of the district by whoever sends it counts as given here', async () => {
  const postId = await district.postId('Ford')
  await send([
    aPatient({ number: 'C-41', name: 'Sefu Lake' }),
    anImmunization({
      child: 'C-41',
      number: 'D-42',
      more: { primarySource: true, location: { reference: `Location/${postId}` } },
    }),
  ])

  expect(await dosesOf('C-41')).toEqual(['PENTA 2026-03-03 here'])
})

test('each delivery is acknowledged and noted: who, what, how many, when', async () => {
  await send([
    aPatient({ number: 'C-42', name: 'Tamba Well' }),
    anImmunization({ child: 'C-99', number: 'D-43' }),
  ])

  const notes = await database.db.change.findMany({
    where: { act: 'exchange-in', subjectId: district.id },
    orderBy: { id: 'desc' },
    take: 1,
  })
  expect(notes).toMatchObject([
    {
      actor: 'machine',
      happenedAt: new Date('2026-03-04T07:00:00Z'),
      after: { entries: 2, created: 1, known: 0, keptAside: 1, refused: 0 },
    },
  ])
})

describe('round trip', () => {
  test('a child and its doses sent out and taken in elsewhere lose nothing that is mandatory', async () => {
    const child = await district.enrol({ name: 'Umi Castle', birthDate: '2026-01-30', language: 'sw' })
    const given = { vaccines: ['BCG', 'FIPV', 'ROTA3'], givenOn: '2026-03-03' }
    await call('POST', `/v1/children/${child.id}/doses`, { token: district.token, body: given })
    const { body } = await call('GET', `/fhir/R4/Patient/${child.id}/$everything`, { token: machine })
    const { entry } = z
      .object({
        entry: z.array(
          z.object({ fullUrl: z.string(), resource: z.looseObject({ resourceType: z.string() }) }),
        ),
      })
      .parse(body)
    const elsewhere = await newDistrict(service)
    // Another service makes identifiers of its own; here they would be the same ones.
    const strange = entry
      .filter(({ resource }) => resource.resourceType !== 'ImmunizationRecommendation')
      .map(({ fullUrl, resource }) => ({
        fullUrl: fullUrl.replaceAll(child.id, 'of-elsewhere'),
        resource: JSON.parse(
          JSON.stringify(resource)
            .replaceAll(child.id, 'of-elsewhere')
            .replaceAll(child.cardNumber, '00000000'),
        ) as ResourceJson,
        request: { method: 'POST', url: resource.resourceType },
      }))
    const withNumber = strange.map((each) =>
      each.resource.resourceType === 'Patient'
        ? {
            ...each,
            resource: { ...each.resource, extension: [], identifier: [{ system: CIVIL, value: 'C-50' }] },
          }
        : each,
    )

    const reply = await call('POST', '/fhir/R4', {
      token: await elsewhere.tokenFor('machine'),
      body: { resourceType: 'Bundle', type: 'transaction', entry: withNumber },
    })

    const ids = entriesOf(reply).map(({ location }) => location?.split('/')[1] ?? '')
    const taken = await elsewhere.child(ids[0] ?? '')
    expect(taken).toMatchObject({
      name: 'Umi Castle',
      sex: 'female',
      birthDate: '2026-01-30',
      village: { name: 'Mbari' },
    })
    expect(taken.phones).toMatchObject([{ number: child.phones[0]?.number, language: 'sw' }])
    const doses = await database.db.dose.findMany({
      where: { childId: taken.id },
      orderBy: { vaccine: 'asc' },
    })
    expect(doses.map(({ vaccine, givenOn }) => [vaccine, givenOn.toISOString().slice(0, 10)])).toEqual(
      ['BCG', 'FIPV', 'ROTA3'].map((vaccine) => [vaccine, '2026-03-03']),
    )
  })

  test('an estimated birth date stays one', async () => {
    await send([aPatient({ number: 'C-51', name: 'Wema Cross', birthDate: '2026-01' })])

    expect(await childOf('C-51')).toMatchObject({
      // The last day of the month, so that no dose is asked for too early.
      birthDate: '2026-01-31',
      _birthDate: { extension: [{ url: EXTENSION.isEstimated, valueBoolean: true }] },
    })
  })
})

test('a delivery from a token of every district names the district', async () => {
  const token = await service.tokenFor('machine')
  const body = aBundle([aPatient({ number: 'C-60', name: 'Xola Path' })])

  expect((await call('POST', '/fhir/R4', { token, body })).status).toBe(400)
  expect((await call('POST', `/fhir/R4?district=${district.id}`, { token, body })).status).toBe(200)
})

test('a village that no address names is asked for', async () => {
  const nowhere = aPatient({ number: 'C-61', name: 'Yaa Barn', village: 'Atlantis' })

  expect(await send([nowhere], 'batch')).toMatchObject([{ status: '404', code: 'village-not-found' }])
})

test('a card number that stands in another register’s record is the child’s card here', async () => {
  const identifier = [{ system: SYSTEM.card, value: '5800 1043' }]
  await send([aPatient({ number: 'C-62', name: 'Zuri Gate', more: { identifier } })])

  const { body } = await call('GET', '/v1/children?card=58001043', { token: machine })

  expect(body).toMatchObject({ children: [{ name: 'Zuri Gate', cardNumber: '58001043' }] })
})
