import { z } from 'zod'
import { readDataFile } from '../../../src/platform/data-files.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { ask, call, clock, database, inbox, liveUntil } = service
beforeEach(service.empty)

const shipped = z.looseObject({}).parse(readDataFile('delivery/spending.json'))

const spend = ({ id, token }: TestDistrict, change: object) =>
  call('PUT', `/v1/districts/${id}/spending`, { token, body: { ...shipped, ...change } })

const report = async ({ id, token }: TestDistrict) =>
  (await call('GET', `/v1/districts/${id}/message-report`, { token })).body

async function aDistrict() {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  await service.deliver()
  return { district, child, phone: phoneOf(child) }
}

test('texts, parts, cost and what arrived are reported by village and operator', async () => {
  const { district } = await aDistrict()
  await spend(district, {
    currency: 'XTS',
    prices: [{ prefix: '+447700', operator: 'South', perPart: 0.05 }],
  })
  await liveUntil('2026-03-07T08:00+03:00')
  await ask(district.vaccinator, 'HELP')

  const { rows, ...made } = z.looseObject({ rows: z.array(z.looseObject({})) }).parse(await report(district))

  expect(made).toMatchObject({ month: '2026-03', currency: 'XTS', budget: { share: null, isWarned: false } })
  expect(rows).toContainEqual({
    village: 'Mbari',
    operator: 'South',
    texts: 1,
    parts: 1,
    cost: 0.05,
    deliveredPercent: 100,
  })
})

test('as the budget runs out reminders are left out with the reason, and replies still go', async () => {
  const { district, child, phone } = await aDistrict()
  const used = await database.db.textOut.aggregate({
    _sum: { parts: true },
    where: { districtId: district.id },
  })
  // The greeting has used 90 % of it: the early reminder is left out.
  await spend(district, { partsPerMonth: 1, dropFrom: { ...(shipped['dropFrom'] as object), eve: 10 } })

  await liveUntil('2026-03-07T08:00+03:00')
  expect(used._sum.parts).toBeGreaterThanOrEqual(1)
  expect(inbox(phone)).toEqual([])
  expect(await database.db.reminder.findFirst({ where: { childId: child.id, kind: 'ahead' } })).toMatchObject(
    {
      status: 'withdrawn',
      reason: 'over-budget',
    },
  )
  expect(await report(district)).toMatchObject({ budget: { partsPerMonth: 1, isWarned: true } })

  await liveUntil('2026-03-09T08:00+03:00')
  expect(inbox(phone)).toHaveLength(1)
  expect(await ask(district.vaccinator, `CARD ${child.cardNumber}`)).toMatch(/Asha/)
})

test('from 80 % of the budget on the managers are warned by text, once a month', async () => {
  const { district } = await aDistrict()
  const { _sum: used } = await database.db.textOut.aggregate({
    _sum: { parts: true },
    where: { districtId: district.id },
  })
  const parts = used.parts ?? 0
  const warnings = (): string[] => inbox(district.manager).filter((text) => text.includes('budget for texts'))

  await spend(district, { partsPerMonth: parts * 10 })
  await liveUntil('2026-03-04T12:00+03:00')
  expect(warnings()).toEqual([])

  await spend(district, { partsPerMonth: parts + 1, warnFrom: parts / (parts + 1) })
  await liveUntil('2026-03-06T12:00+03:00')
  const percent = Math.floor((100 * parts) / (parts + 1))
  expect(warnings()).toEqual([expect.stringContaining(`${percent}% of this month's budget`)])

  await liveUntil('2026-04-02T12:00+03:00')
  expect(warnings()).toHaveLength(1)
})
