import { openProviderIds } from '../../../src/store/receipts.ts'
import { recordReceipt } from '../../../src/app/record-receipt.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, deps, handset, liveUntil } = service
beforeEach(service.empty)

afterEach(() => {
  handset.treat(() => ({}))
})

/** Sends the eve text of one new child under a treatment and gives what became of it. */
async function fateUnder(treatment: ReturnType<Parameters<typeof handset.treat>[0]>) {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  const phone = phoneOf(child)
  handset.treat(({ to }) => (to === phone ? treatment : {}))
  await liveUntil('2026-03-09T08:00+03:00')
  const text = await database.db.textOut.findFirstOrThrow({ where: { number: phone, purpose: 'reminder' } })
  const reminder = await database.db.reminder.findFirstOrThrow({ where: { textOutId: text.id } })
  return { text: text.status, reminder: reminder.status, textId: text.id }
}

describe('a receipt tells what became of a text and its reminders', () => {
  test('after the gateway’s answer', async () => {
    expect(await fateUnder({})).toMatchObject({ text: 'delivered', reminder: 'delivered' })
  })

  test('before the gateway’s answer, when the id it speaks of is not known yet', async () => {
    expect(await fateUnder({ receiptsFirst: true })).toMatchObject({
      text: 'delivered',
      reminder: 'delivered',
    })
  })

  test('that says it did not arrive', async () => {
    const treatment = { arrives: false, receipts: ['undelivered' as const] }

    expect(await fateUnder(treatment)).toMatchObject({ text: 'undelivered', reminder: 'undelivered' })
  })

  test('twice changes nothing', async () => {
    const treatment = { receipts: ['delivered' as const, 'delivered' as const] }

    expect(await fateUnder(treatment)).toMatchObject({ text: 'delivered', reminder: 'delivered' })
  })

  test('that is not final leaves the text on its way, before and after', async () => {
    expect(await fateUnder({ receipts: ['under-way'] })).toMatchObject({ text: 'handed' })
    expect(await fateUnder({ receipts: ['under-way', 'delivered', 'under-way'] })).toMatchObject({
      text: 'delivered',
    })
  })

  test('that never comes leaves the text handed over', async () => {
    expect(await fateUnder({ receipts: [] })).toMatchObject({ text: 'handed', reminder: 'handed' })
  })

  test('of a text nobody knows is kept and does no harm', async () => {
    const receipt = { gateway: 'handset', providerId: 'nobody', reason: null, at: null }

    await recordReceipt(deps, { ...receipt, state: 'delivered' })

    expect(await database.db.receipt.findFirst({ where: { providerId: 'nobody' } })).toMatchObject({
      isMatched: false,
    })
  })

  test('ends the doubt about a text, so that it is not sent again', async () => {
    const { textId, text } = await fateUnder({
      answer: { kind: 'unclear', reason: 'no answer' },
      arrives: true,
      receipts: [],
    })
    expect(text).toBe('waiting')

    // The provider knows our id; such a gateway names it in the receipt.
    await database.db.textPart.create({
      data: { gateway: 'handset', providerId: `late-${textId}`, textOutId: textId, createdAt: clock.now() },
    })
    const receipt = { gateway: 'handset', providerId: `late-${textId}`, reason: null, at: null }
    await recordReceipt(deps, { ...receipt, state: 'delivered' })

    expect(await database.db.textOut.findUnique({ where: { id: textId } })).toMatchObject({
      status: 'delivered',
    })
  })

  test('is never missed when it comes in the very moment of the answer', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const names = 'ABCDEFGHIJKLMNOPQRST'
    await Promise.all(
      Array.from(names, (letter) =>
        district.enrol({ name: `Child ${letter.repeat(9)}`, birthDate: '2026-01-20' }),
      ),
    )

    await liveUntil('2026-03-09T08:00+03:00')

    const statuses = await database.db.textOut.groupBy({
      by: ['status'],
      where: { districtId: district.id, purpose: 'reminder' },
      _count: true,
    })
    expect(statuses).toEqual([{ status: 'delivered', _count: 20 }])
  })
})

test('after a restart the texts without an end are asked about again, and no other', async () => {
  clock.moveTo('2026-03-05T10:00+03:00')
  const text = (status: string, at: Date) => ({
    id: deps.newId(),
    number: '+447700900123',
    body: 'Hello',
    purpose: 'alert',
    isUrgent: false,
    parts: 1,
    status,
    createdAt: at,
    sendAt: at,
  })
  const now = clock.now()
  const longAgo = new Date(now.getTime() - 4 * 86_400_000)
  for (const [providerId, status, at, state] of [
    ['open', 'handed', now, null],
    ['on-its-way', 'handed', now, 'under-way'],
    ['arrived', 'delivered', now, 'delivered'],
    ['old', 'handed', longAgo, null],
  ] as const) {
    const made = await database.db.textOut.create({ data: text(status, at) })
    await database.db.textPart.create({
      data: { gateway: 'asked', providerId, textOutId: made.id, state, createdAt: at },
    })
  }

  expect((await openProviderIds(database.db, 'asked', now)).sort()).toEqual(['on-its-way', 'open'])
})
