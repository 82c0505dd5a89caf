import { handOver } from '../../../src/app/hand-over.ts'
import { sendText } from '../../../src/app/send-text.ts'
import { sweep } from '../../../src/app/sweep.ts'
import type { Gateway } from '../../../src/app/ports.ts'
import { silentConveyor } from '../../../src/main/open-deps.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, deps, handset, ask, inbox, deliver } = service
beforeEach(service.empty)

const killedBefore: Gateway = { ...handset, submit: () => Promise.reject(new Error('killed')) }
const killedAfter: Gateway = {
  ...handset,
  submit: async (text) => {
    await handset.submit(text)
    throw new Error('killed')
  },
}

/** A reminder whose sender died while it had it. */
async function aTextLeftBy(gateway: Gateway): Promise<{ phone: string; textId: string }> {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  const phone = phoneOf(child)
  clock.moveTo('2026-03-09T08:00+03:00')
  await handOver(deps, gateway, gateway.name)
  const text = await database.db.textOut.findFirstOrThrow({ where: { number: phone, purpose: 'reminder' } })
  expect(text.status).toBe('sending')
  return { phone, textId: text.id }
}

const statusOf = async (textId: string) => {
  const text = await database.db.textOut.findUniqueOrThrow({
    where: { id: textId },
    include: { reminders: true },
  })
  return { text: text.status, reminder: text.reminders[0]?.status }
}

describe('a text whose sender died', () => {
  test('is left alone while the sender may still be at work', async () => {
    const { phone, textId } = await aTextLeftBy(killedBefore)

    clock.advance({ seconds: 15 })
    await deliver()

    expect(inbox(phone)).toEqual([])
    expect(await statusOf(textId)).toEqual({ text: 'sending', reminder: 'queued' })
  })

  test('before it left is sent after the lease', async () => {
    const { phone, textId } = await aTextLeftBy(killedBefore)

    clock.advance({ seconds: 21 })
    await deliver()

    expect(inbox(phone)).toHaveLength(1)
    expect(await statusOf(textId)).toEqual({ text: 'delivered', reminder: 'delivered' })
  })

  test('after it left arrives once all the same, where the gateway knows our ids', async () => {
    const { phone, textId } = await aTextLeftBy(killedAfter)
    expect(inbox(phone)).toHaveLength(1)

    clock.advance({ seconds: 21 })
    await deliver()

    expect(inbox(phone)).toHaveLength(1)
    expect(await statusOf(textId)).toEqual({ text: 'delivered', reminder: 'delivered' })
  })

  test('three times over has an unknown end the fourth time', async () => {
    const { phone, textId } = await aTextLeftBy(killedBefore)
    const redelivered = async (): Promise<void> => {
      clock.advance({ seconds: 21 })
      await sweep({ ...deps, conveyor: silentConveyor }, killedBefore)
      await sendText(deps, killedBefore, textId).catch(() => undefined)
    }

    for (let time = 0; time < 3; time += 1) await redelivered()
    expect(await statusOf(textId)).toEqual({ text: 'sending', reminder: 'queued' })
    await redelivered()

    expect(inbox(phone)).toEqual([])
    expect(await statusOf(textId)).toEqual({ text: 'unknown', reminder: 'unknown' })
  })

  test('is not sent any more when the family stopped the texts meanwhile', async () => {
    const { phone, textId } = await aTextLeftBy(killedBefore)
    await ask(phone, 'STOP')

    clock.advance({ seconds: 21 })
    await deliver()

    expect(inbox(phone)).toHaveLength(1)
    expect((await statusOf(textId)).text).toBe('lapsed')
  })
})
