import { fixedClock } from '../support/fixed-clock.ts'
import { startJsonProvider } from '../support/json-provider.ts'
import { isGreeting, runningServiceWith } from '../support/running-service.ts'
import { newDistrict, phoneOf } from '../support/test-district.ts'

const clock = fixedClock('2026-03-05T15:00+03:00')
const provider = await startJsonProvider(clock)
afterAll(provider.stop)
const { gateway } = provider
const service = await runningServiceWith(clock, { gateway, receivers: new Map([[gateway.name, gateway]]) })
const { database, liveUntil, whenIdle } = service
provider.callBackAt(service.address)

const textsTo = (phone: string) =>
  provider.taken.filter((text) => text.phone === phone && !isGreeting(text.words))
const wordsTo = (phone: string) => textsTo(phone).map(({ words }) => words)

/** Texts the service as a phone would, and gives what came back. */
async function ask(phone: string, words: string, key?: string): Promise<readonly string[]> {
  const before = wordsTo(phone).length
  expect(await provider.deliver(phone, words, key)).toBe(200)
  await whenIdle()
  return wordsTo(phone).slice(before)
}

describe('the main job over a provider’s HTTP server', () => {
  test('a child is reminded, vaccinated by text, advised and counted', async () => {
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })
    const phone = phoneOf(child)

    await liveUntil('2026-03-07T08:00+03:00')
    await liveUntil('2026-03-09T08:00+03:00')
    expect(wordsTo(phone)).toEqual([
      'Ford: Asha is due for vaccines on Tue 10 Mar at Ford. Please bring the card. To stop: STOP',
      'Ford: we expect Asha on Tue 10 Mar at Ford for vaccines. Please bring the card. To stop: STOP',
    ])

    await liveUntil('2026-03-10T11:00+03:00')
    const [reply] = await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
    expect(reply).toMatch(/ Asha: BCG 1, .* recorded for Tue 10 Mar\. Next visit: Tue 7 Apr, Ford\.$/)
    await liveUntil('2026-03-10T11:00+03:00')
    expect(wordsTo(phone).at(-1)).toMatch(/^Ford, after the vaccines of Asha: .* Next: Tue 7 Apr at Ford\./)
    const path = `/v1/districts/${district.id}/coverage.csv?cohort=2026`
    const coverage = await service.call('GET', path, { token: district.token })
    expect(coverage.body).toContain('\nMbari,PENTA,1,1,39.0,2.6,')
  })

  test('receipts of the provider tell what became of each text', async () => {
    clock.moveTo('2026-03-11T10:00+03:00')
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-02-01' })
    const phone = phoneOf(child)
    const statusOfText = async (words: string) =>
      (await database.db.textOut.findMany({ where: { number: phone } })).find(({ body }) => body === words)
        ?.status
    await liveUntil('2026-03-14T08:00+03:00')
    await liveUntil('2026-03-16T08:00+03:00')
    const texts = textsTo(phone)
    expect(texts).toHaveLength(2)
    expect(await statusOfText(texts[0]?.words ?? '')).toBe('handed')

    await provider.receipt(texts[0]?.number ?? '', 'arrived')
    await provider.receipt(texts[1]?.number ?? '', 'lost')

    expect(await statusOfText(texts[0]?.words ?? '')).toBe('delivered')
    expect(await statusOfText(texts[1]?.words ?? '')).toBe('undelivered')
    const reminders = await database.db.reminder.findMany({
      where: { childId: child.id },
      orderBy: { sendAt: 'asc' },
    })
    expect(reminders.slice(0, 2).map(({ kind, status }) => `${kind} ${status}`)).toEqual([
      'ahead delivered',
      'eve undelivered',
    ])
  })

  test('a text delivered twice is answered once', async () => {
    const district = await newDistrict(service)
    await district.enrol({ birthDate: '2026-02-01', phone: '+447700900777' })

    expect(await ask('+447700900777', 'WHEN', 'the-same')).toHaveLength(1)
    expect(await ask('+447700900777', 'WHEN', 'the-same')).toEqual([])
  })

  test('a call back without the right signature is refused and stored nowhere', async () => {
    const body = JSON.stringify({ number: 'forged', phone: '+447700900001', dialled: '70900', words: 'STOP' })
    const forged = await provider.callBack('text', body, {
      'content-type': 'application/json',
      'x-signed-at': String(Math.floor(clock.now().getTime() / 1000)),
      'x-signature': '00'.repeat(32),
    })

    expect(forged.status).toBe(401)
    expect(await forged.json()).toMatchObject({ code: 'signature-invalid' })
    expect(await database.db.textIn.count({ where: { key: 'forged' } })).toBe(0)
  })
})
