import { readFileSync } from 'node:fs'
import { z } from 'zod'
import { closePassedVisits } from '../../../src/app/close-passed-visits.ts'
import type { Deps } from '../../../src/app/deps.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2022-12-19T09:00+03:00')
const { call, clock, database, liveUntil, tokenFor } = service
const officer = await tokenFor('officer')

const CODE = 'national-fractional'

/** A schedule file under the code of this test. */
function version(file: string, changes: object = {}): object {
  const data = z.record(z.string(), z.unknown()).parse(JSON.parse(readFileSync(file, 'utf8')))
  return { ...data, id: CODE, ...changes }
}

// India added a third fractional dose from 2023-01-01, except for children who had MR 1 before (instruction of the
// Ministry of Health and Family Welfare, December 2022, as reported by secondary pages).
const BEFORE = version('tests/fixtures/schedules/fractional-6-14-weeks-2022.json')
const SINCE = version('src/data/schedules/fractional-6-10-14-weeks.json')

const publish = (data: object, token = officer) => call('POST', '/v1/schedules', { token, body: data })

async function givenAt(district: TestDistrict, child: ChildJson, day: string, vaccines: string[]) {
  const body = { vaccines, givenOn: day, isElsewhere: true }
  const reply = await call('POST', `/v1/children/${child.id}/doses`, { token: district.token, body })
  expect(reply).toMatchObject({ status: 201 })
}

async function forecastOf(district: TestDistrict, child: ChildJson) {
  const { body } = await call('GET', `/v1/children/${child.id}/forecast`, { token: district.token })
  return z
    .object({
      version: z.string(),
      next: z.array(z.object({ series: z.string(), dose: z.int() })),
      complete: z.array(z.string()),
    })
    .parse(body)
}

/** The service's parts, with a database that fails after some transactions. */
function brokenOffAfter(transactions: number): Deps {
  let left = transactions
  const transaction: Deps['database']['transaction'] = (work) => {
    if (left === 0) return Promise.reject(new Error('power cut'))
    left -= 1
    return service.deps.database.transaction(work)
  }
  return { ...service.deps, database: { ...service.deps.database, transaction } }
}

describe('a new version of a schedule', () => {
  test('takes in the children its own rule names on the day it comes into force, and leaves the others', async () => {
    expect(await publish(BEFORE)).toMatchObject({ status: 201 })
    const district = await newDistrict(service, { district: { schedule: CODE } })
    const hadMr = await district.enrol({ name: 'Asha Temba', birthDate: '2022-03-10' })
    const hadNone = await district.enrol({ name: 'Nia Komo', birthDate: '2022-03-11' })
    for (const child of [hadMr, hadNone]) {
      await givenAt(district, child, '2022-04-26', ['FIPV'])
      await givenAt(district, child, '2022-06-21', ['FIPV'])
    }
    await givenAt(district, hadMr, '2022-12-13', ['MR'])
    expect((await forecastOf(district, hadNone)).complete).toContain('IPV')

    expect(await publish(SINCE)).toMatchObject({ status: 201, body: { children: 2 } })
    await liveUntil('2023-01-02T09:00+03:00')

    expect(await forecastOf(district, hadMr)).toMatchObject({ version: '2022-01' })
    const switched = await forecastOf(district, hadNone)
    expect(switched.version).toBe('2023-01')
    expect(switched.next).toContainEqual({ series: 'IPV', dose: 3 })
    const planned = (await district.child(hadNone.id)).appointment
    expect(planned?.doses).toContainEqual({ series: 'IPV', dose: 3, vaccine: 'FIPV' })
  })

  test('is planned child by child and goes on where it was broken off', async () => {
    clock.moveTo('2023-01-02T10:00+03:00')
    const waiting = () => database.db.child.count({ where: { planAgainOn: { lte: new Date('2023-01-02') } } })
    expect(await waiting()).toBe(0)
    await database.db.child.updateMany({ data: { planAgainOn: new Date('2023-01-01') } })
    expect(await waiting()).toBe(2)

    await closePassedVisits(brokenOffAfter(1))
    expect(await waiting()).toBe(1)
    await service.closeDay()

    expect(await waiting()).toBe(0)
  })

  test('is refused for a day that has one, when it contradicts itself, and from a token of one district', async () => {
    expect(await publish(SINCE)).toMatchObject({ status: 409, body: { code: 'schedule-already-published' } })

    const { series } = z.object({ series: z.array(z.record(z.string(), z.json())) }).parse(SINCE)
    const circle = series.map((one) => ({
      ...one,
      doses: [{ due: '1 months', after: [{ since: 'NOWHERE 1' }] }],
    }))
    const broken = version('src/data/schedules/fractional-6-10-14-weeks.json', { series: circle })
    expect(await publish(broken)).toMatchObject({ status: 422, body: { code: 'schedule-invalid' } })

    const district = await newDistrict(service)
    const bound = await tokenFor('officer', district.id)
    expect(await publish(SINCE, bound)).toMatchObject({ status: 403, body: { code: 'not-allowed' } })
  })
})
