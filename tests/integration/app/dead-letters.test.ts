import { handOver } from '../../../src/app/hand-over.ts'
import { answerText } from '../../../src/app/answering/answer-text.ts'
import { z } from 'zod'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { ask, call, clock, database, deliver, deps, handset, inbox, liveUntil } = service
beforeEach(service.empty)
afterEach(() => {
  handset.treat(() => ({}))
})

const lists = z.object({
  failed: z.array(z.looseObject({ id: z.string(), number: z.string(), reason: z.string().nullable() })),
  parked: z.array(z.looseObject({ id: z.string(), tries: z.int(), trouble: z.string().nullable() })),
})

async function listed({ id, token }: TestDistrict) {
  return lists.parse((await call('GET', `/v1/districts/${id}/dead-letters`, { token })).body)
}

const deed = ({ id, token }: TestDistrict, textId: string, act: string, body: object = {}) =>
  call('POST', `/v1/districts/${id}/dead-letters/${textId}/${act}`, { token, body })

/** The number of the family does not exist, as the network says each time. */
async function aFamilyThatNoTextReaches(): Promise<{
  district: TestDistrict
  child: ChildJson
  phone: string
}> {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  const phone = phoneOf(child)
  handset.treat(({ to }) =>
    to === phone ? { answer: { kind: 'rejected', fault: 'number', reason: 'no such phone' } } : {},
  )
  await deliver()
  for (const at of ['2026-03-07T08:00+03:00', '2026-03-09T08:00+03:00']) await liveUntil(at)
  return { district, child, phone }
}

describe('a text that failed for good', () => {
  test('stands on a list with its number and reason until someone closes it', async () => {
    const { district, phone } = await aFamilyThatNoTextReaches()

    const { failed } = await listed(district)
    expect(failed.map(({ number, reason }) => ({ number, reason }))).toContainEqual({
      number: phone,
      reason: 'number: no such phone',
    })
    for (const { id } of failed) expect((await deed(district, id, 'close')).status).toBe(200)

    expect((await listed(district)).failed).toEqual([])
  })

  test('is mended by a new number and sent again, once', async () => {
    const { district, child } = await aFamilyThatNoTextReaches()
    const newPhone = district.newPhone()
    await call('PUT', `/v1/children/${child.id}/phone`, {
      token: district.token,
      body: { caregiver: { phone: newPhone } },
    })
    await deliver()
    const before = inbox(newPhone).length
    const greeting = (await listed(district)).failed.at(-1)

    expect(await deed(district, greeting?.id ?? '', 'send-again', { number: newPhone })).toMatchObject({
      status: 200,
    })
    expect(await deed(district, greeting?.id ?? '', 'send-again', { number: newPhone })).toMatchObject({
      status: 404,
    })
    await deliver()

    const isGreeting = handset.inbox(newPhone).filter(({ body }) => body.startsWith('Hello'))
    expect(inbox(newPhone).length - before + isGreeting.length).toBeGreaterThan(0)
  })

  test('is a reminder that is planned again while it is of use, and refused after', async () => {
    const { district, phone } = await aFamilyThatNoTextReaches()
    handset.treat(() => ({}))
    const [eve] = (await listed(district)).failed

    expect(await deed(district, eve?.id ?? '', 'send-again')).toMatchObject({ status: 200 })
    await deliver()
    expect(inbox(phone)).toEqual([expect.stringMatching(/we expect/)])

    clock.moveTo('2026-03-12T08:00+03:00')
    const [ahead] = (await listed(district)).failed
    expect(await deed(district, ahead?.id ?? '', 'send-again')).toMatchObject({ status: 409 })
  })

  test('of a number that no text reaches tells the vaccinator to ask for a new one', async () => {
    const { district, child } = await aFamilyThatNoTextReaches()

    expect(await ask(district.vaccinator, `CARD ${child.cardNumber}`)).toMatch(
      /No text reaches the phone: ask for a new number\.$/,
    )
    const [first, second] = [child.cardNumber.slice(0, 4), child.cardNumber.slice(4)]
    expect(await ask(district.vaccinator, 'DUE')).toMatch(
      new RegExp(`Ask for a new number: ${first} ${second}$`),
    )
  })
})

describe('a text that cannot be answered', () => {
  /** A register in which the sender's district makes every answer fail. */
  async function aTextThatAlwaysFails(): Promise<{
    district: TestDistrict
    textId: string
    mend: () => Promise<void>
  }> {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    await database.db.district.update({ where: { id: district.id }, data: { timeZone: 'Nowhere/Else' } })
    await handset.text(district.vaccinator, 'DUE')
    await service.whenIdle()
    const { id } = await database.db.textIn.findFirstOrThrow({ where: { fromNumber: district.vaccinator } })
    const mend = async () => {
      await database.db.district.update({ where: { id: district.id }, data: { timeZone: 'Africa/Nairobi' } })
    }
    return { district, textId: id, mend }
  }

  test('is tried eight times, then waits for a person with its reason, and is read again on demand', async () => {
    const { district, textId, mend } = await aTextThatAlwaysFails()
    for (let time = 0; time < 12; time += 1) await answerText(deps, textId)

    const { parked } = await listed(district)
    expect(parked).toEqual([expect.objectContaining({ id: textId, tries: 8 })])
    expect(parked[0]?.trouble).not.toBeNull()

    await mend()
    expect(await deed(district, textId, 'send-again')).toMatchObject({ status: 200 })
    clock.advance({ seconds: 30 })
    await deliver()
    expect(inbox(district.vaccinator)).toHaveLength(1)
    expect((await listed(district)).parked).toEqual([])
  })
})

test('a lane in trouble is left alone: nothing is taken for it', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  await district.enrol({ birthDate: '2026-01-20' })
  clock.moveTo('2026-03-09T08:00+03:00')

  await handOver(deps, { ...handset, isUp: () => false }, handset.name)

  expect(await database.db.reminder.count({ where: { status: 'queued' } })).toBe(0)
})
