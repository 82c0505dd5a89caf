import { z } from 'zod'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, database, liveUntil } = service

describe('an Idempotency-Key', () => {
  const keyed = (key: string) => ({ headers: { 'idempotency-key': key } })

  test('does the same request once and answers it alike', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const path = `/v1/children/${child.id}/doses`
    const body = { vaccines: ['BCG'], givenOn: '2026-03-04' }

    const first = await call('POST', path, { token: district.token, body, ...keyed('one') })
    const again = await call('POST', path, { token: district.token, body, ...keyed('one') })

    expect(first.status).toBe(201)
    expect(again).toEqual(first)
    expect(await database.db.dose.count({ where: { childId: child.id } })).toBe(1)
  })

  test('used for another request is refused', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const path = `/v1/children/${child.id}/doses`
    const report = (vaccine: string) =>
      call('POST', path, {
        token: district.token,
        body: { vaccines: [vaccine], givenOn: '2026-03-04' },
        ...keyed('two'),
      })
    await report('BCG')

    expect(await report('BOPV')).toMatchObject({ status: 409, body: { code: 'idempotency-key-reused' } })
    expect(await database.db.dose.count({ where: { childId: child.id } })).toBe(1)
  })

  test('of one token is nothing to another', async () => {
    const district = await newDistrict(service)
    const body = (name: string) => ({
      villageId: district.villageId('Mbari'),
      name,
      sex: null,
      birthDate: '2026-02-01',
    })
    const enrol = async (name: string) =>
      call('POST', '/v1/children', {
        token: await district.tokenFor('officer'),
        body: body(name),
        ...keyed('three'),
      })

    expect(await enrol('Asha Temba')).toMatchObject({ status: 201 })
    expect(await enrol('Juma Hill')).toMatchObject({ status: 201 })
  })

  test('sent by four at once does the work once, and all four get the one answer', async () => {
    const district = await newDistrict(service)
    const body = {
      villageId: district.villageId('Mbari'),
      name: 'Asha Temba',
      sex: null,
      birthDate: '2026-02-01',
    }
    const enrol = () => call('POST', '/v1/children', { token: district.token, body, ...keyed('four') })

    const replies = await Promise.all([enrol(), enrol(), enrol(), enrol()])

    expect(replies.map((reply) => reply.status)).toEqual([201, 201, 201, 201])
    const ids = replies.map((reply) => z.object({ id: z.string() }).parse(reply.body).id)
    expect(new Set(ids).size).toBe(1)
    expect(await database.db.child.count({ where: { districtId: district.id } })).toBe(1)
  })

  test('of a request that was refused may be used again', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const report = (givenOn: string) =>
      call('POST', `/v1/children/${child.id}/doses`, {
        token: district.token,
        body: { vaccines: ['BCG'], givenOn },
        ...keyed('five'),
      })

    expect(await report('2026-03-05')).toMatchObject({ status: 422 })
    expect(await report('2026-03-04')).toMatchObject({ status: 201 })
  })
})

describe('pages', () => {
  const aPage = z.object({
    children: z.array(z.object({ id: z.string() })),
    next: z.string().nullable(),
  })

  test('show every child once, in whatever steps', async () => {
    const district = await newDistrict(service)
    for (const letter of 'ABCDEFGHIJK') await district.enrol({ name: letter.repeat(9), phone: null })

    for (const limit of [1, 3, 11, 200]) {
      const seen: string[] = []
      let after = ''
      for (;;) {
        const { body } = await call('GET', `/v1/children?limit=${limit}${after}`, { token: district.token })
        const { children, next } = aPage.parse(body)
        seen.push(...children.map(({ id }) => id))
        if (next === null) break
        after = `&after=${next}`
      }
      expect(seen).toHaveLength(11)
      expect(new Set(seen).size).toBe(11)
    }
  })

  test('of a village show its children only', async () => {
    const district = await newDistrict(service)
    await district.enrol({ name: 'Asha Temba', village: 'Mbari' })
    await district.enrol({ name: 'Juma Hill', village: 'Kesho' })

    const path = `/v1/children?village=${district.villageId('Kesho')}`
    const { body } = await call('GET', path, { token: district.token })

    expect(body).toMatchObject({ children: [{ name: 'Juma Hill' }], next: null })
  })

  test('of messages go from the newest back', async () => {
    const district = await newDistrict(service)
    for (const letter of 'ABC') await district.enrol({ name: letter.repeat(9), birthDate: '2026-01-20' })
    await liveUntil('2026-03-09T08:00+03:00')
    const messages = async (query: string) => {
      const path = `/v1/districts/${district.id}/messages${query}`
      const { body } = await call('GET', path, { token: district.token })
      return z
        .object({
          messages: z.array(z.object({ id: z.string(), purpose: z.string() })),
          next: z.string().nullable(),
        })
        .parse(body)
    }

    const whole = await messages('')
    const first = await messages('?limit=2')
    const second = await messages(`?limit=200&after=${first.next ?? ''}`)

    expect(whole.messages.filter((text) => text.purpose === 'reminder')).toHaveLength(3)
    expect([...first.messages, ...second.messages]).toEqual(whole.messages)
  })
})

describe('a child is found', () => {
  test('by its card, however it is grouped, and by its caregiver’s phone, however it is written', async () => {
    const district = await newDistrict(service)
    const phone = district.newPhone()
    const child = await district.enrol({ phone })
    const found = async (query: string) =>
      (await call('GET', `/v1/children?${query}`, { token: district.token })).body
    const { cardNumber } = child
    const grouped = `${cardNumber.slice(0, 4)}-${cardNumber.slice(4)}`
    const national = phone.replace('+44', '0')

    for (const query of [`card=${cardNumber}`, `card=${grouped}`, `phone=${national}`]) {
      expect(await found(query)).toMatchObject({ children: [{ id: child.id }] })
    }
  })
})

describe('a withdrawn dose', () => {
  test('stays readable with who and why, counts nowhere, and is not withdrawn twice', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const path = `/v1/children/${child.id}/doses`
    const body = { vaccines: ['BCG'], givenOn: '2026-03-04' }
    const made = await call('POST', path, { token: district.token, body })
    const { doses } = z.object({ doses: z.array(z.object({ id: z.string() })) }).parse(made.body)
    const withdraw = () =>
      call('POST', `/v1/doses/${doses[0]?.id ?? ''}/withdrawal`, {
        token: district.token,
        body: { reason: 'wrong child' },
      })

    await withdraw()

    expect((await call('GET', path, { token: district.token })).body).toMatchObject({
      doses: [{ vaccine: 'BCG', withdrawnBecause: 'wrong child', recordedBy: 'officer', counts: [] }],
    })
    expect(await withdraw()).toMatchObject({ status: 409, body: { code: 'dose-already-voided' } })
  })
})
