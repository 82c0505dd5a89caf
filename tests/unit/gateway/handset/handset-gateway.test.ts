import type { GatewayHandlers, IncomingText, Receipt, ScreenRequest } from '../../../../src/app/ports.ts'
import { handsetGateway, type HandsetGateway } from '../../../../src/gateway/handset/handset-gateway.ts'

const NOW = new Date('2026-03-15T09:00:00Z')
const PHONE = '+447700900123'

interface Seen {
  readonly texts: IncomingText[]
  readonly receipts: Receipt[]
  readonly screens: ScreenRequest[]
}

async function opened(
  handlers: Partial<GatewayHandlers> = {},
): Promise<{ handset: HandsetGateway; seen: Seen }> {
  const seen: Seen = { texts: [], receipts: [], screens: [] }
  let made = 0
  const quiet = (): void => undefined
  const handset = handsetGateway({
    name: 'handset',
    shortCode: '70900',
    clock: { now: () => NOW },
    newId: () => `id-${String((made += 1))}`,
    log: { info: quiet, warn: quiet, error: quiet },
  })
  await handset.open({
    onText: (text) => Promise.resolve(void seen.texts.push(text)),
    onReceipt: (receipt) => Promise.resolve(void seen.receipts.push(receipt)),
    onScreen(request) {
      seen.screens.push(request)
      return Promise.resolve({ text: `screen ${String(seen.screens.length)}`, ends: request.typed === '0' })
    },
    ...handlers,
  })
  return { handset, seen }
}

const reminder = { id: 'm1', to: PHONE, body: 'Vaccines on Tuesday', validUntil: null, urgent: false }

describe('handsetGateway', () => {
  test('puts an accepted text into the inbox, tells listeners, and gives a receipt', async () => {
    const { handset, seen } = await opened()
    const heard: string[] = []
    handset.onDelivered((text) => heard.push(text.body))

    const answer = await handset.submit(reminder)
    await handset.settled()

    expect(answer).toEqual({ kind: 'accepted', providerIds: ['handset-m1'] })
    expect(handset.inbox(PHONE)).toEqual([{ id: 'm1', to: PHONE, body: 'Vaccines on Tuesday', at: NOW }])
    expect(heard).toEqual(['Vaccines on Tuesday'])
    expect(seen.receipts).toMatchObject([{ providerId: 'handset-m1', state: 'delivered', at: NOW }])
  })

  test('delivers a repeated text once', async () => {
    const { handset } = await opened()

    await handset.submit(reminder)
    await handset.submit(reminder)

    expect(handset.inbox(PHONE)).toHaveLength(1)
  })

  test('does not deliver a text that is no longer of use, and says so', async () => {
    const { handset, seen } = await opened()

    await handset.submit({ ...reminder, validUntil: new Date('2026-03-15T08:59:59Z') })
    await handset.settled()

    expect(handset.inbox(PHONE)).toEqual([])
    expect(seen.receipts).toMatchObject([{ state: 'undelivered' }])
  })

  test('can be told to fail', async () => {
    const { handset, seen } = await opened()
    handset.treat(() => ({ answer: { kind: 'try-later', reason: 'busy', retryAfterMs: 1000 } }))

    const answer = await handset.submit(reminder)
    await handset.settled()

    expect(answer).toEqual({ kind: 'try-later', reason: 'busy', retryAfterMs: 1000 })
    expect(handset.inbox(PHONE)).toEqual([])
    expect(seen.receipts).toEqual([])
  })

  test('survives a receipt that could not be stored', async () => {
    const { handset } = await opened({ onReceipt: () => Promise.reject(new Error('no database')) })

    await handset.submit(reminder)

    await expect(handset.close()).resolves.toBeUndefined()
  })

  test('stops telling a listener that left', async () => {
    const { handset } = await opened()
    const heard: string[] = []
    const leave = handset.onDelivered((text) => heard.push(text.body))
    leave()

    await handset.submit(reminder)

    expect(heard).toEqual([])
  })

  test('gives each text of a phone a key of its own unless told it is a repeat', async () => {
    const { handset, seen } = await opened()

    await handset.text(PHONE, 'WHEN')
    await handset.text(PHONE, 'WHEN')
    await handset.text(PHONE, 'WHEN', 'again')

    expect(seen.texts.map((text) => text.key)).toEqual(['id-1', 'id-2', 'again'])
    expect(seen.texts[0]).toEqual({ gateway: 'handset', key: 'id-1', from: PHONE, to: '70900', body: 'WHEN' })
  })

  test('keeps one dialogue through its screens and refuses a key press after its end', async () => {
    const { handset, seen } = await opened()

    await handset.dial(PHONE, '*7709#')
    await handset.press(PHONE, '2')
    const last = await handset.press(PHONE, '0')

    expect(last).toEqual({ text: 'screen 3', ends: true })
    expect(seen.screens.map(({ typed, isFirst }) => [typed, isFirst])).toEqual([
      ['*7709#', true],
      ['2', false],
      ['0', false],
    ])
    expect(new Set(seen.screens.map((screen) => screen.dialogue)).size).toBe(1)
    await expect(handset.press(PHONE, '1')).rejects.toThrow('dial first')
  })
})
