import { startTestSmsc } from '../support/test-smsc.ts'
import type { SubmitReply, TestSmsc } from '../support/test-smsc.ts'
import { startTestProvider } from '../support/test-provider.ts'
import type { ChaosClock } from './chaos-clock.ts'

/** What the phones got: the times of the texts about each child, by what the text calls it. */
export type Arrivals = ReadonlyMap<string, readonly Date[]>

/** The network behind the service, with a memory. */
export interface FarSide {
  /** How a worker reaches it: a gateway description. */
  readonly gateway: object
  readonly arrivals: Arrivals
  readonly stop: () => Promise<void>
}

const CALLED = /C\d{6}/

function ledger(clock: ChaosClock) {
  const arrivals = new Map<string, Date[]>()
  return {
    arrivals,
    note: (body: string): void => {
      const [name] = CALLED.exec(body) ?? []
      if (name !== undefined) arrivals.set(name, [...(arrivals.get(name) ?? []), clock.now()])
    },
  }
}

/** How a message centre treats submits. `drop`: every second one that it hangs up on was taken. */
export type Manner = 'well' | 'silent' | 'twice' | 'throttling' | 'receipts-first' | 'drop'

export interface FarSmsc extends FarSide {
  readonly behave: (manner: Manner) => void
  readonly hangUp: () => void
}

/** So many submits of one bind may wait for an answer. */
const WINDOW = 50
const TOO_FAST = 0x58

/** A message centre on loopback; it takes a text once it means to, whatever it then answers. */
export async function startFarSmsc(clock: ChaosClock): Promise<FarSmsc> {
  const smsc = await startTestSmsc()
  const { arrivals, note } = ledger(clock)
  let manner: Manner = 'well'
  let made = 0

  smsc.answerSubmits(async ({ shortMessage, destination }): Promise<SubmitReply> => {
    const turn = (made += 1)
    const messageId = String(turn)
    if (manner === 'throttling' && turn % 3 !== 0) return [{ status: TOO_FAST }]
    if (manner === 'drop' && turn % 2 === 0) return 'hang-up'
    note(shortMessage.toString('latin1'))
    if (manner === 'drop') return 'hang-up'
    if (manner === 'silent') return []
    if (manner === 'twice') return [{ messageId }, { messageId }]
    if (manner === 'receipts-first') await giveReceipt(smsc, messageId, destination)
    return [{ messageId }]
  })

  return {
    arrivals,
    behave: (next) => {
      manner = next
    },
    hangUp: smsc.hangUp,
    stop: smsc.stop,
    gateway: {
      kind: 'smpp',
      name: 'smsc',
      host: '127.0.0.1',
      port: smsc.port,
      systemId: 'chaos',
      source: { address: '70900', ton: 3, npi: 0 },
      window: WINDOW,
      timing: {
        answerMs: 1500,
        patienceMs: 3000,
        firstRetryMs: 100,
        longestRetryMs: 1000,
        firstPauseMs: 20,
        longestPauseMs: 200,
      },
    },
  }
}

/** A receipt as in Appendix B of SMPP 3.4, before the answer that makes its id known. */
async function giveReceipt(smsc: TestSmsc, messageId: string, destination: string): Promise<void> {
  const text = `id:${messageId} sub:001 dlvrd:001 submit date:2603041100 done date:2603041100 stat:DELIVRD err:000 text:`
  await smsc
    .deliver({ source: destination, destination: '70900', esmClass: 0x04, shortMessage: Buffer.from(text) })
    // The link fell meanwhile: this receipt never comes.
    .catch(() => undefined)
}

/** A provider over HTTP that sends one text for two requests with the same id. */
export async function startFarProvider(clock: ChaosClock): Promise<FarSide> {
  const provider = await startTestProvider()
  const { arrivals, note } = ledger(clock)
  const seen = new Set<string>()
  provider.answer(({ body }) => {
    const { id, text } = JSON.parse(body) as { readonly id: string; readonly text: string }
    if (!seen.has(id)) note(text)
    seen.add(id)
    return { status: 200, body: JSON.stringify({ number: id }) }
  })
  return {
    arrivals,
    stop: provider.stop,
    gateway: {
      kind: 'http',
      name: 'provider',
      submit: {
        request: {
          url: `${provider.url}/outbox`,
          body: {
            contentType: 'application/json',
            content: { id: '{{id}}', phone: '{{to}}', text: '{{text}}' },
          },
          timeoutMs: 3000,
        },
        recognisesRepeats: true,
        providerIds: 'number',
      },
    },
  }
}
