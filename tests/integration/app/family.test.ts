/** Several carers, phones and addresses, with what held before (requirement REG-12). */
import { z } from 'zod'
import { pageVisitor } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, newPhone, phoneOf } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, inbox, liveUntil } = service

const familyShape = z.object({
  phones: z.array(
    z.object({
      id: z.string(),
      number: z.string(),
      relation: z.string().nullable(),
      phoneKind: z.string().nullable(),
      until: z.string().nullable(),
    }),
  ),
  addresses: z.array(z.object({ id: z.string(), address: z.string(), until: z.string().nullable() })),
})

test('a family has several phones and addresses: each phone is reminded, an ended one gets nothing, and all stay on record', async () => {
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  const { token } = district
  const at = `/v1/children/${child.id}`
  const family = async () => familyShape.parse((await call('GET', `${at}/family`, { token })).body)
  const post = (path: string, body?: object) =>
    call('POST', `${at}${path}`, { token, ...(body === undefined ? {} : { body }) })
  const [mother, grandmother] = [phoneOf(child), newPhone()]
  const caregiver = { phone: grandmother, relation: 'grandmother', phoneKind: 'neighbour' }
  expect(await post('/caregivers', { caregiver })).toMatchObject({ status: 201 })
  expect(await post('/addresses', { address: 'behind the mill' })).toMatchObject({ status: 201 })
  expect(await post('/addresses', { address: 'market days: stall 12' })).toMatchObject({ status: 201 })

  await liveUntil('2026-03-07T12:00+03:00')
  expect([inbox(mother).length, inbox(grandmother).length]).toEqual([1, 1])

  const [first] = (await family()).phones
  const [mill] = (await family()).addresses
  expect(await post(`/caregivers/${first?.id ?? ''}/end`)).toMatchObject({ status: 200 })
  expect(await post(`/caregivers/${first?.id ?? ''}/end`)).toMatchObject({
    body: { code: 'caregiver-not-found' },
  })
  expect(await post(`/addresses/${mill?.id ?? ''}/end`)).toMatchObject({ status: 200 })
  expect(await post(`/addresses/${mill?.id ?? ''}/end`)).toMatchObject({
    body: { code: 'address-not-found' },
  })

  await liveUntil('2026-03-09T12:00+03:00')
  expect([inbox(mother).length, inbox(grandmother).length]).toEqual([1, 2])
  const { phones, addresses } = await family()
  expect(
    phones.map(({ number, relation, phoneKind, until }) => [number, relation, phoneKind, until === null]),
  ).toEqual([
    [mother, null, null, false],
    [grandmother, 'grandmother', 'neighbour', true],
  ])
  expect(addresses.map(({ address, until }) => [address, until === null])).toEqual([
    ['behind the mill', false],
    ['market days: stall 12', true],
  ])

  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  const { text } = await visitor.get(`/districts/${district.id}/children/${child.id}`)
  expect(text).toMatch(/Found at: market days: stall 12\./)
  expect(text).toMatch(/Before: \+4477\d+ \(until [^)]+\); behind the mill \(until/)
})
