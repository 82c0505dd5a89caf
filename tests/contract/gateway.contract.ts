import { setImmediate } from 'node:timers/promises'
import type {
  GatewayHandlers,
  IncomingText,
  Receipt,
  ScreenRequest,
  SubmitAnswer,
} from '../../src/app/ports.ts'
import { NOW } from './network.ts'
import type { Network } from './network.ts'

const PHONE = '+447700900123'
const UCS2_TEXT = 'कल टीका'
const LONG_TEXT = `GAVE 4821 7739 ${'OPV PENTA PCV ROTA '.repeat(18)}END`
const LONG_UCS2_TEXT = 'बच्चे को टीका लगवाने के लिए मंगलवार को आइए। '.repeat(4).trim()

const reminder = {
  id: '0190b0e4-0000-7000-8000-000000000001',
  to: PHONE,
  body: 'Vaccines on Tuesday',
  validUntil: null,
  urgent: false,
}

// One test file for each adapter calls it.

/** Runs the cases every gateway must pass; `start` gives a fresh network whose gateway is not open yet. */
// eslint-disable-next-line jest/no-export -- one test file for each adapter calls it
export function describeGateway(kind: string, start: () => Promise<Network>): void {
  describe(`the ${kind} gateway`, () => {
    let network: Network
    let texts: IncomingText[]
    let receipts: Receipt[]
    let screens: ScreenRequest[]
    let onText: GatewayHandlers['onText']

    beforeEach(async () => {
      ;[texts, receipts, screens] = [[], [], []]
      onText = (text) => Promise.resolve(void texts.push(text))
      network = await start()
      await network.gateway.open({
        onText: (text) => onText(text),
        onReceipt: (receipt) => Promise.resolve(void receipts.push(receipt)),
        onScreen(request) {
          screens.push(request)
          return Promise.resolve({ text: `Choice ${request.typed}?`, ends: request.typed === '0' })
        },
      })
    })

    afterEach(async () => {
      await network.gateway.close()
      await network.stop()
    })

    const submit = (body = reminder.body): Promise<SubmitAnswer> =>
      network.gateway.submit({ ...reminder, body })

    function idsOf(answer: SubmitAnswer): readonly string[] {
      if (answer.kind !== 'accepted') throw new Error(`not accepted: ${answer.kind}`)
      return answer.providerIds
    }

    test('hands over a text, which reaches the phone as it was written', async () => {
      const answer = await submit()

      expect(idsOf(answer)).toHaveLength(1)
      expect(network.inbox(PHONE)).toEqual(['Vaccines on Tuesday'])
    })

    test.each([
      ['every sign of the GSM alphabet that ASCII writes otherwise', '@$_[]{}\\^~|€ ÄÖÑÜ àéèìò ¤§¿¡'],
      ['a text that needs UCS-2', UCS2_TEXT],
      ['a text of several parts', LONG_TEXT],
      ['a text of several parts in UCS-2', LONG_UCS2_TEXT],
      ['a pair of surrogates at the edge of a part', `${'क'.repeat(66)}🙂${'क'.repeat(66)}`],
    ])('carries %s unharmed', async (_, body) => {
      await submit(body)

      expect(network.inbox(PHONE)).toEqual([body])
    })

    test('keeps back a text whose sending hours are over', async () => {
      const answer = await network.gateway.submit({ ...reminder, leaveBefore: NOW })

      expect(answer).toMatchObject({ kind: 'try-later', reason: 'the sending hours are over' })
      await network.settled()
      expect(network.inbox(PHONE)).toEqual([])
    })

    test('says that a number is refused for good', async () => {
      network.treat(() => ({ answer: { kind: 'rejected', fault: 'number', reason: 'no such number' } }))

      expect(await submit()).toMatchObject({ kind: 'rejected', fault: 'number' })
      expect(network.inbox(PHONE)).toEqual([])
    })

    test('says that a text may be tried later', async () => {
      network.treat(() => ({ answer: { kind: 'try-later', reason: 'busy', retryAfterMs: null } }))

      expect(await submit()).toMatchObject({ kind: 'try-later' })
      expect(network.inbox(PHONE)).toEqual([])
    })

    test('says that it does not know when the network takes the text and never answers', async () => {
      network.treat(() => ({ answer: { kind: 'unclear', reason: 'silence' }, arrives: true, receipts: [] }))

      expect(await submit()).toMatchObject({ kind: 'unclear' })
      expect(network.inbox(PHONE)).toEqual([reminder.body])
    })

    test.each([['delivered'], ['undelivered'], ['under-way'], ['unknown']] as const)(
      'passes on a receipt that says "%s" under the id it was accepted with',
      async (state) => {
        network.treat(() => ({ receipts: [state] }))

        const ids = idsOf(await submit())
        await network.settled()

        expect(receipts).toEqual([
          expect.objectContaining({ gateway: network.gateway.name, providerId: ids[0], state }),
        ])
      },
    )

    test('passes on a receipt that comes before the answer', async () => {
      network.treat(() => ({ receiptsFirst: true }))

      const ids = idsOf(await submit())

      expect(receipts).toMatchObject([{ providerId: ids[0], state: 'delivered' }])
    })

    test('passes on a receipt that comes twice as two equal ones', async () => {
      network.treat(() => ({ receipts: ['delivered', 'delivered'] }))

      await submit()
      await network.settled()

      expect(receipts).toHaveLength(2)
      expect(receipts[1]).toEqual(receipts[0])
    })

    test.each([
      ['a short text', 'WHEN'],
      ['a text in UCS-2', UCS2_TEXT],
      ['a text of several parts', LONG_TEXT],
      ['a text of several parts in UCS-2', LONG_UCS2_TEXT],
    ])('takes in %s and confirms it once stored', async (_, body) => {
      expect(await network.text(PHONE, body)).toBe(true)

      expect(texts).toEqual([
        expect.objectContaining({ gateway: network.gateway.name, from: PHONE, to: '70900', body }),
      ])
    })

    test.each([
      ['text', 'WHEN'],
      ['text of several parts', LONG_TEXT],
    ])('gives a repeated %s the key it had, and another one its own', async (_, body) => {
      await network.text(PHONE, body)
      await network.text(PHONE, body, 'again')
      await network.text(PHONE, `${body}!`)

      const keysOf = (words: string) =>
        new Set(texts.filter((text) => text.body === words).map((text) => text.key))
      expect(keysOf(body).size).toBe(1)
      expect(keysOf(`${body}!`).size).toBe(1)
      expect([...keysOf(`${body}!`)]).not.toEqual([...keysOf(body)])
    })

    test('does not confirm a text that could not be stored, and takes it when it comes again', async () => {
      const store = onText
      onText = () => Promise.reject(new Error('no database'))
      expect(await network.text(PHONE, 'WHEN')).toBe(false)

      onText = store
      expect(await network.text(PHONE, 'WHEN', 'again')).toBe(true)
      expect(texts).toHaveLength(1)
    })

    test('carries a USSD dialogue from the dialled code to its last screen', async () => {
      expect(await network.dial(PHONE, '*7709#')).toEqual({ text: 'Choice *7709#?', ends: false })
      expect(await network.press(PHONE, '2')).toEqual({ text: 'Choice 2?', ends: false })
      expect(await network.press(PHONE, '0')).toEqual({ text: 'Choice 0?', ends: true })

      expect(screens.map(({ from, typed, isFirst }) => [from, typed, isFirst])).toEqual([
        [PHONE, '*7709#', true],
        [PHONE, '2', false],
        [PHONE, '0', false],
      ])
      expect(new Set(screens.map((screen) => screen.dialogue)).size).toBe(1)
    })

    test('waits, when closed, until what has arrived is stored and confirmed', async () => {
      const happened: string[] = []
      const reached = gate()
      const store = gate()
      onText = async () => {
        reached.open()
        await store.opened
        happened.push('stored')
      }
      const confirmed = network.text(PHONE, 'WHEN')
      await reached.opened

      const closed = network.gateway.close().then(() => happened.push('closed'))
      for (let turn = 0; turn < 50; turn += 1) await setImmediate()
      store.open()
      await closed

      expect(happened).toEqual(['stored', 'closed'])
      expect(await confirmed).toBe(true)
    })
  })
}

/** Something to wait for. */
function gate(): { readonly open: () => void; readonly opened: Promise<void> } {
  let open = (): void => undefined
  const opened = new Promise<void>((resolve) => {
    open = resolve
  })
  return { open, opened }
}
