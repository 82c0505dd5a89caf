import { Webhook } from 'standardwebhooks'
import { z } from 'zod'
import { faultsOf } from '../../support/fhir-validity.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'
import { startTestProvider } from '../../support/test-provider.ts'
import type { ProviderRequest, TestProvider } from '../../support/test-provider.ts'

const service = await runningService('2026-03-02T09:00+03:00')
const { call, clock, database } = service

const added = z.object({ secret: z.string(), webhook: z.object({ id: z.string() }) })
const news = z.object({
  type: z.string(),
  timestamp: z.string(),
  data: z.looseObject({ child: z.string(), district: z.string() }),
})

const receivers: TestProvider[] = []
afterAll(() => Promise.all(receivers.map((receiver) => receiver.stop())))

async function aReceiver() {
  const receiver = await startTestProvider()
  receiver.answer(() => ({ status: 204, body: '' }))
  receivers.push(receiver)
  return receiver
}

async function subscribe(district: TestDistrict, url: string, wish: object = {}) {
  const body = { name: 'national register', url, kinds: ['enrolment', 'dose', 'missed', 'reaction'], ...wish }
  const reply = await call('POST', '/v1/webhooks', { token: district.token, body })
  expect(reply.status).toBe(201)
  const { secret, webhook } = added.parse(reply.body)
  return { secret, id: webhook.id }
}

const read = ({ body }: ProviderRequest) => news.parse(JSON.parse(body))

/** Calls are made side by side, so they arrive in any order. */
function inOrderOfType<News extends { readonly type: string }>(told: readonly News[]): News[] {
  return [...told].sort((a, b) => a.type.localeCompare(b.type))
}

async function callsOf(district: TestDistrict, id: string, query = '') {
  const { body } = await call('GET', `/v1/webhooks/${id}/calls${query}`, { token: district.token })
  return z
    .object({
      calls: z.array(
        z.object({
          id: z.string(),
          kind: z.string(),
          status: z.string(),
          tries: z.int(),
          answer: z.string().nullable(),
        }),
      ),
    })
    .parse(body).calls
}

function give(district: TestDistrict, childId: string, vaccine: string) {
  return call('POST', `/v1/children/${childId}/doses`, {
    token: district.token,
    body: { vaccines: [vaccine], givenOn: '2026-03-02' },
  })
}

test('an enrolment, a dose, a reaction and a missed visit are told by identifiers, signed, each once', async () => {
  const district = await newDistrict(service)
  const receiver = await aReceiver()
  const { secret } = await subscribe(district, `${receiver.url}/hook`)
  const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
  await give(district, child.id, 'BCG')
  await call('POST', `/v1/children/${child.id}/reactions`, {
    token: district.token,
    body: { words: 'a mild fever', reactionOn: '2026-03-02' },
  })
  await service.deliver()
  await service.liveUntil('2026-03-11T09:00+03:00')
  await service.deliver()

  const told = inOrderOfType(receiver.requests.map(read))
  const who = { district: district.id, child: child.id }
  expect(told.map(({ type, data }) => [type, data])).toEqual([
    ['dose', { ...who, dose: expect.any(String) as string }],
    ['enrolment', who],
    ['missed', { ...who, visit: expect.any(String) as string }],
    ['reaction', { ...who, reaction: expect.any(String) as string }],
  ])
  for (const { body, headers } of receiver.requests) {
    const signed = headers as Record<string, string>
    expect(body).not.toMatch(/Asha|Temba|fever|\+44/)
    // The library of the standard compares with the machine's clock; the time is checked by its own tests.
    const at = new Date(Number(signed['webhook-timestamp']) * 1000)
    expect(new Webhook(secret).sign(signed['webhook-id'] ?? '', at, body)).toBe(signed['webhook-signature'])
  }
})

test('a child whose family bars sharing is told of to nobody', async () => {
  const district = await newDistrict(service)
  const receiver = await aReceiver()
  const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
  await subscribe(district, `${receiver.url}/hook`)
  await call('PUT', `/v1/children/${child.id}/sharing`, { token: district.token, body: { barred: true } })

  await give(district, child.id, 'BCG')
  await service.deliver()

  expect(receiver.requests).toHaveLength(0)
})

test('with details, the record itself goes along as a valid FHIR resource', async () => {
  const district = await newDistrict(service)
  const receiver = await aReceiver()
  await subscribe(district, receiver.url, { hasDetails: true })
  const child = await district.enrol({ name: 'Binta Ford', birthDate: '2026-01-20' })
  await give(district, child.id, 'BCG')
  await call('POST', `/v1/children/${child.id}/reactions`, {
    token: district.token,
    body: { words: 'a mild fever', reactionOn: '2026-03-02' },
  })
  await service.deliver()

  const resources = inOrderOfType(receiver.requests.map(read)).map(({ data }) => data['resource'])
  expect(resources).toMatchObject([
    { resourceType: 'Immunization' },
    { resourceType: 'Patient', name: [{ text: 'Binta Ford' }] },
    { resourceType: 'AdverseEvent', event: { text: 'a mild fever' } },
  ])
  for (const resource of resources) expect(faultsOf(resource)).toEqual([])
})

test('news that is rolled back is never told', async () => {
  const district = await newDistrict(service)
  const receiver = await aReceiver()
  const { id } = await subscribe(district, receiver.url)
  const body = {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [
      {
        resource: {
          resourceType: 'Patient',
          name: [{ text: 'Chipo Kesho' }],
          birthDate: '2026-01-20',
          address: [{ city: 'Mbari' }],
        },
        request: { method: 'POST', url: 'Patient' },
      },
      {
        resource: {
          resourceType: 'Patient',
          name: [{ text: 'X' }],
          birthDate: '2090-01-20',
          address: [{ city: 'Mbari' }],
        },
        request: { method: 'POST', url: 'Patient' },
      },
    ],
  }
  expect((await call('POST', '/fhir/R4', { token: district.token, body })).status).toBe(422)
  await service.deliver()

  expect(await callsOf(district, id)).toEqual([])
  expect(receiver.requests).toEqual([])
})

test('a call that fails is made again after longer and longer waits, under the same identifier', async () => {
  const district = await newDistrict(service)
  const receiver = await aReceiver()
  const { id } = await subscribe(district, receiver.url)
  receiver.answer(() => ({ status: 500, body: '' }))
  await district.enrol({ name: 'Dafina Rill', birthDate: '2026-01-20' })
  await service.deliver()
  expect(await callsOf(district, id)).toMatchObject([{ status: 'waiting', tries: 1, answer: 'status 500' }])

  clock.advance({ seconds: 4 })
  await service.deliver()
  expect(receiver.requests).toHaveLength(1)
  clock.advance({ seconds: 5 })
  await service.deliver()
  expect(receiver.requests).toHaveLength(2)
  receiver.answer(() => ({ status: 200, body: '' }))
  clock.advance({ seconds: 120 })
  await service.deliver()

  expect(await callsOf(district, id)).toMatchObject([{ status: 'delivered', tries: 3, answer: 'status 200' }])
  const told = await database.db.change.findMany({ where: { act: 'call-webhook', districtId: district.id } })
  expect(told).toMatchObject([{ actor: 'webhook national register', subjectKind: 'child' }])
  const ids = receiver.requests.map(({ headers }) => headers['webhook-id'])
  expect(new Set(ids).size).toBe(1)
})

test('after the last try a call is dead, is listed, and is made again on demand', async () => {
  const district = await newDistrict(service)
  const receiver = await aReceiver()
  const { id } = await subscribe(district, receiver.url)
  receiver.answer(() => ({ status: 503, body: '' }))
  await district.enrol({ name: 'Efua Bank', birthDate: '2026-01-20' })
  for (let round = 0; round < 12; round += 1) {
    await service.deliver()
    clock.advance({ hours: 37 })
  }
  const dead = await callsOf(district, id, '?status=dead')
  expect(dead).toMatchObject([{ status: 'dead', tries: 9, answer: 'status 503' }])

  receiver.answer(() => ({ status: 200, body: '' }))
  const replay = (body: object) => call('POST', `/v1/webhooks/${id}/replay`, { token: district.token, body })
  expect(await replay({ callIds: [dead[0]?.id] })).toMatchObject({ status: 200, body: { replayed: 1 } })
  await service.deliver()
  expect(await callsOf(district, id)).toMatchObject([{ status: 'delivered' }])
  expect(await replay({})).toMatchObject({ body: { replayed: 0 } })
  expect(await replay({ deadOnly: false, since: '2026-01-01T00:00:00Z' })).toMatchObject({
    body: { replayed: 1 },
  })
})

test('whoever answers 410 is not called again; a paused webhook hears nothing', async () => {
  const district = await newDistrict(service)
  const receiver = await aReceiver()
  const gone = await subscribe(district, receiver.url)
  receiver.answer(() => ({ status: 410, body: '' }))
  await district.enrol({ name: 'Fola Sand', birthDate: '2026-01-20' })
  await service.deliver()
  await district.enrol({ name: 'Gbenga Wall', birthDate: '2026-01-21' })
  await service.deliver()
  expect(receiver.requests).toHaveLength(1)
  expect(await callsOf(district, gone.id)).toMatchObject([{ status: 'dead', answer: 'status 410' }])

  const change = (status: string) =>
    call('PATCH', `/v1/webhooks/${gone.id}`, { token: district.token, body: { status } })
  receiver.answer(() => ({ status: 200, body: '' }))
  expect(await change('active')).toMatchObject({ body: { status: 'active' } })
  await district.enrol({ name: 'Hawa Ridge', birthDate: '2026-01-22' })
  await service.deliver()
  expect(receiver.requests).toHaveLength(2)
  await change('paused')
  await district.enrol({ name: 'Ife Marsh', birthDate: '2026-01-23' })
  await service.deliver()
  expect(receiver.requests).toHaveLength(2)
})

test('an address in a private network is not called', async () => {
  const district = await newDistrict(service)
  const { id } = await subscribe(district, 'https://169.254.169.254/latest')
  await district.enrol({ name: 'Jomo Vale', birthDate: '2026-01-20' })
  await service.deliver()

  expect(await callsOf(district, id)).toMatchObject([
    { status: 'dead', tries: 1, answer: 'the address is not a public one' },
  ])
})

test('a new secret signs beside the former one for a day', async () => {
  const district = await newDistrict(service)
  const receiver = await aReceiver()
  const { id, secret } = await subscribe(district, receiver.url)
  const changed = await call('POST', `/v1/webhooks/${id}/secret`, { token: district.token })
  const newer = added.parse(changed.body).secret
  await district.enrol({ name: 'Kato Hill', birthDate: '2026-01-20' })
  await service.deliver()
  clock.advance({ hours: 25 })
  await district.enrol({ name: 'Lulu Shore', birthDate: '2026-01-21' })
  await service.deliver()

  const signers = receiver.requests.map(({ body, headers }) => {
    const at = new Date(Number(headers['webhook-timestamp']) * 1000)
    const sent = String(headers['webhook-signature']).split(' ')
    return [newer, secret].map((one) =>
      sent.includes(new Webhook(one).sign(String(headers['webhook-id']), at, body)),
    )
  })
  expect(newer).not.toBe(secret)
  expect(signers).toEqual([
    [true, true],
    [true, false],
  ])
})

test('a call whose caller died is made by another', async () => {
  const district = await newDistrict(service)
  const receiver = await aReceiver()
  const { id } = await subscribe(district, receiver.url)
  await district.enrol({ name: 'Mosi Field', birthDate: '2026-01-20' })
  await database.db.webhookCall.updateMany({
    where: { webhookId: id },
    data: { status: 'sending', tries: 1, leaseUntil: new Date(clock.now().getTime() + 60_000) },
  })
  await service.deliver()
  expect(receiver.requests).toHaveLength(0)

  clock.advance({ seconds: 61 })
  await service.deliver()

  expect(receiver.requests).toHaveLength(1)
  expect(await callsOf(district, id)).toMatchObject([{ status: 'delivered', tries: 2 }])
})

test('a register that is taken over is told child by child and dose by dose', async () => {
  const district = await newDistrict(service)
  const receiver = await aReceiver()
  await subscribe(district, receiver.url)
  const { importRegister } = await import('../../../src/app/import-register.ts')
  const { csvLines } = await import('../../../src/app/register-lines.ts')
  const { Readable } = await import('node:stream')
  const file =
    'card_number,name,sex,birth_date,village,phone,language,BCG\n,Nuru Glen,female,2026-01-20,Mbari,,,2026-01-21\n'
  const order = {
    districtId: district.id,
    by: 'an operator',
    isDryRun: false,
    onProblem: () => undefined,
    onProgress: () => undefined,
  }
  await importRegister(service.deps, order, csvLines(Readable.from([file])))
  await importRegister(service.deps, order, csvLines(Readable.from([file])))
  await service.deliver()

  expect(receiver.requests.map((request) => read(request).type).sort()).toEqual(['dose', 'enrolment'])
})

describe('who may', () => {
  test('an operator has identifiers sent, never records', async () => {
    const district = await newDistrict(service)
    const token = await district.tokenFor('operator')
    const body = { name: 'watch', url: 'https://hooks.example/a', kinds: ['dose'] }

    expect((await call('POST', '/v1/webhooks', { token, body: { ...body, hasDetails: true } })).status).toBe(
      403,
    )
    expect((await call('POST', '/v1/webhooks', { token, body })).status).toBe(201)
  })

  test('a webhook of every district is not there for a token of one, and hears no training district', async () => {
    const receiver = await aReceiver()
    const everywhere = await service.tokenFor('officer')
    const reply = await call('POST', '/v1/webhooks', {
      token: everywhere,
      body: { name: 'all', url: receiver.url, kinds: ['enrolment'] },
    })
    const { id } = added.parse(reply.body).webhook
    const district = await newDistrict(service)
    const training = await newDistrict(service, { district: { isTraining: true } })

    expect((await call('GET', `/v1/webhooks/${id}/calls`, { token: district.token })).status).toBe(404)
    const { body } = await call('GET', '/v1/webhooks', { token: district.token })
    expect(body).toEqual({ webhooks: [] })
    await district.enrol({ name: 'Oba Reed', birthDate: '2026-01-20' })
    await training.enrol({ name: 'Pendo Brook', birthDate: '2026-01-20' })
    await service.deliver()
    expect(receiver.requests.map((request) => read(request).data.district)).toEqual([district.id])
    await call('PATCH', `/v1/webhooks/${id}`, { token: everywhere, body: { status: 'paused' } })
  })

  test('nobody reads a secret in the database', async () => {
    const { rows } = await database.pool.query<{ secret: string }>('select secret from webhook')

    expect(rows.length).toBeGreaterThan(0)
    for (const { secret } of rows) expect(secret).toMatch(/^sealed:t:/)
  })
})
