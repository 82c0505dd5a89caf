import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import type { TokenRole } from '../../../src/app/tokens.ts'
import { ROUTES } from '../../../src/http/routes/all.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import { ACCESS } from './access.ts'
import type { Place } from './access-row.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, tokenFor } = service

const ALL_ROLES: readonly TokenRole[] = ['vaccinator', 'manager', 'officer', 'operator', 'machine']
const nameOf = (route: { readonly method: string; readonly path: string }): string =>
  `${route.method.toUpperCase()} ${route.path}`
const methodOf = (name: string): string => name.split(' ')[0] ?? ''

async function aPlace(): Promise<Place> {
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  const given = await call('POST', `/v1/children/${child.id}/doses`, {
    token: district.token,
    body: { vaccines: ['BCG'], givenOn: '2026-03-01' },
  })
  const { doses } = z.object({ doses: z.array(z.object({ id: z.string() })) }).parse(given.body)
  const postId = await district.postId('Ford')
  const opened = await call('POST', `/v1/districts/${district.id}/vials`, {
    token: district.token,
    body: { postId, vaccine: 'BOPV', lot: 'L4471B', expiryOn: '2027-05-31' },
  })
  const vialId = z.object({ id: z.string() }).parse(opened.body).id
  const failedTextId = randomUUID()
  await service.database.db.textOut.create({
    data: {
      id: failedTextId,
      districtId: district.id,
      number: district.manager,
      body: 'Hello',
      purpose: 'alert',
      isUrgent: false,
      parts: 1,
      status: 'failed',
      createdAt: service.clock.now(),
      sendAt: service.clock.now(),
    },
  })
  const idOf = async (path: string, body: object): Promise<string> => {
    const { body: answer } = await call('POST', path, { token: district.token, body })
    return z.object({ id: z.string() }).parse(answer).id
  }
  const reactionId = await idOf(`/v1/children/${child.id}/reactions`, {
    words: 'fits',
    reactionOn: '2026-03-04',
  })
  const alert = await service.database.db.alert.findFirst({ where: { reactionId } })
  const recall = { lot: 'L4471B', reason: 'asked by the ministry' }
  const recallId = await idOf(`/v1/districts/${district.id}/recalls`, recall)
  const twin = await district.enrol({ name: 'Asha Tembo', birthDate: '2026-01-21', isKnownToBeNew: true })
  const doubleId = await idOf(`/v1/children/${child.id}/doubles`, { otherChildId: twin.id })
  const hook = { name: 'a register', url: 'https://register.example/hooks', kinds: ['missed'] }
  const added = await call('POST', '/v1/webhooks', { token: district.token, body: hook })
  const { webhook } = z.object({ webhook: z.object({ id: z.string() }) }).parse(added.body)
  const worker = await service.database.db.person.findFirst({ where: { phone: district.vaccinator } })
  return {
    district,
    doubleId,
    otherChildId: twin.id,
    webhookId: webhook.id,
    personId: worker?.id ?? '',
    childId: child.id,
    doseId: doses[0]?.id ?? '',
    postId,
    vialId,
    reactionId,
    alertId: alert?.id ?? '',
    recallId,
    failedTextId,
  }
}

const here = await aPlace()
const there = await aPlace()

test('every route has a row that says who may use it, and every row a route', () => {
  expect(Object.keys(ACCESS).sort()).toEqual(ROUTES.map(nameOf).sort())
})

describe.each(Object.entries(ACCESS))('%s', (name, { roles, isBound, at }) => {
  test('is allowed to the roles of its row and refused to every other', async () => {
    const outcomes: Record<string, string> = {}
    for (const role of ALL_ROLES) {
      // Only a token of every district may publish what concerns them all.
      const token = name === 'POST /v1/schedules' ? await tokenFor(role) : await here.district.tokenFor(role)
      const { path, body } = at(here)
      const { status } = await call(methodOf(name), path, { token, ...(body === undefined ? {} : { body }) })
      // The bodies of the rows are right, so that nothing but the role is in question.
      expect([400, 500]).not.toContain(status)
      outcomes[role] = status === 403 ? 'refused' : 'allowed'
    }

    const promised = ALL_ROLES.map((role) => [role, roles.includes(role) ? 'allowed' : 'refused'])
    expect(outcomes).toEqual(Object.fromEntries(promised))
  })

  test('is refused without a token, with a wrong one and with one past its time', async () => {
    const { path, body } = at(here)
    const request = body === undefined ? {} : { body }
    const expired = await tokenFor('officer')
    await service.database.db.apiToken.updateMany({
      where: { name: 'officer', districtId: null },
      data: { expiresAt: new Date('2026-03-04T06:59:59Z') },
    })

    for (const token of [undefined, 'wrong', expired]) {
      const reply = await call(methodOf(name), path, {
        ...request,
        ...(token === undefined ? {} : { token }),
      })
      expect(reply.status).toBe(401)
      expect(JSON.stringify(reply.body)).toContain('"not-signed-in"')
    }
  })

  test('never shows or changes another district', async () => {
    const role = roles.find((each) => each !== 'vaccinator') ?? 'officer'
    const { path, body } = at(there)
    const token = await here.district.tokenFor(role)

    const reply = await call(methodOf(name), path, { token, ...(body === undefined ? {} : { body }) })

    // Publishing concerns every district, so there is no other one whose existence a refusal could tell.
    const hidden = isBound && name !== 'POST /v1/schedules'
    expect(hidden ? reply.status : 404).toBe(404)
    expect(JSON.stringify(reply.body)).not.toContain(there.district.file.district.name)
  })
})

describe('a token bound to a district', () => {
  test('does not make another district', async () => {
    const token = await here.district.tokenFor('officer')
    const body = { ...here.district.file, district: { ...here.district.file.district, name: 'A third one' } }

    const made = await call('PUT', '/v1/districts', { token, body })
    const taken = await call('PUT', '/v1/districts', { token, body: there.district.file })

    expect(made).toMatchObject({ status: 404, body: { code: 'district-not-found' } })
    expect(taken).toEqual(made)
  })

  test('does not find a child of another district by its card or phone', async () => {
    const child = await there.district.child(there.childId)
    const token = await here.district.tokenFor('officer')
    const found = async (query: string) => {
      const { body } = await call('GET', `/v1/children?${query}`, { token })
      return z.object({ children: z.array(z.unknown()) }).parse(body).children
    }

    expect(await found(`card=${child.cardNumber}`)).toEqual([])
    expect(await found(`phone=${encodeURIComponent(there.district.vaccinator)}`)).toEqual([])
  })

  test('does not put a child into another district', async () => {
    const token = await here.district.tokenFor('officer')
    const body = { villageId: there.district.villageId('Kesho') }

    const path = `/v1/children/${here.childId}/move`

    expect(await call('POST', path, { token, body })).toMatchObject({
      status: 404,
      body: { code: 'village-not-found' },
    })
    expect((await here.district.child(here.childId)).district.id).toBe(here.district.id)
  })

  test('is told the same of a child of another district and of one that is not there', async () => {
    const token = await here.district.tokenFor('officer')
    const reply = await call('GET', `/v1/children/${there.childId}`, { token })

    const nowhere = await call('GET', '/v1/children/019abe80-0000-7000-8000-000000000000', { token })

    expect(reply).toEqual(nowhere)
    expect(reply).toMatchObject({ status: 404, body: { code: 'child-not-found' } })
  })
})
