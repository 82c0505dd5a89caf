import type { ScreenAnswer } from '../../src/app/ports.ts'
import type { Treatment } from '../../src/gateway/handset/handset-gateway.ts'
import { TAGS } from '../../src/gateway/smpp/commands.ts'
import { partOf, wordsOf } from '../../src/gateway/smpp/incoming-text.ts'
import { makePdu, type PduOf, type PduParts } from '../../src/gateway/smpp/pdu.ts'
import { SmppConfig } from '../../src/gateway/smpp/smpp-config.ts'
import { smppGateway } from '../../src/gateway/smpp/smpp-gateway.ts'
import { codeText } from '../../src/gateway/smpp/text-coding.ts'
import { startTestSmsc, type SubmitReply } from '../support/test-smsc.ts'
import { describeGateway } from './gateway.contract.ts'
import { quietLog, stillClock, type Network } from './network.ts'

const STATES = { 'under-way': 1, delivered: 2, undelivered: 5, unknown: 7 } as const
const PHONE_ADDRESS = { sourceTon: 1, sourceNpi: 1, destination: '70900', destinationTon: 3 }

/** A message centre with phones behind it, and the gateway bound to it. */
async function smppNetwork(more: object): Promise<Network> {
  const smsc = await startTestSmsc()
  const config = SmppConfig.parse({
    kind: 'smpp',
    name: 'smpp',
    host: '127.0.0.1',
    port: smsc.port,
    systemId: 'duebell',
    source: { address: '70900', ton: 3, npi: 0 },
    timing: { answerMs: 1000 },
    ...more,
  })
  const gateway = smppGateway({ config, secrets: {}, clock: stillClock, log: quietLog, random: () => 0.5 })
  const inboxes = new Map<string, string[]>()
  const arrived = new Map<string, PduOf<'submit_sm'>[]>()
  const receipts: Promise<unknown>[] = []
  const screens: ((answer: ScreenAnswer) => void)[] = []
  let treatment: (text: { to: string; body: string }) => Treatment = () => ({})
  let made = 0

  /** The phone joins the parts and shows the text when the last one has come. */
  function receive(submit: PduOf<'submit_sm'>): void {
    const asArrival = makePdu('deliver_sm', { ...submit, sequence: 0 })
    const part = partOf(asArrival, 'plus')
    const parts = [...(arrived.get(part.reference) ?? []), submit]
    arrived.set(part.reference, part.total === parts.length ? [] : parts)
    if (parts.length < part.total) return
    const { body } = wordsOf(
      parts.map((one) => partOf(makePdu('deliver_sm', { ...one, sequence: 0 }), 'plus')),
      config.plain.alphabet,
    )
    const to = `+${submit.destination}`
    inboxes.set(to, [...(inboxes.get(to) ?? []), body])
  }

  function giveReceipt(messageId: string, state: keyof typeof STATES): Promise<unknown> {
    const tlvs = new Map([
      [TAGS.receiptedMessageId, Buffer.from(`${messageId}\0`)],
      [TAGS.messageState, Buffer.from([STATES[state]])],
    ])
    return smsc.deliver({ esmClass: 0x04, tlvs })
  }

  async function take(submit: PduOf<'submit_sm'>): Promise<SubmitReply> {
    if (submit.tlvs.has(TAGS.ussdServiceOp)) return show(submit)
    const chosen = treatment({ to: submit.destination, body: '' })
    const isTaken = chosen.answer === undefined
    const messageId = `id-${String((made += 1))}`
    if (chosen.arrives ?? isTaken) receive(submit)
    const states = chosen.receipts ?? (isTaken ? ['delivered'] : [])
    const give = async (): Promise<void> => {
      for (const state of states) await giveReceipt(messageId, state)
    }
    if (chosen.receiptsFirst === true) await give()
    else setImmediate(() => receipts.push(give()))
    return chosen.answer === undefined ? [{ messageId }] : replyOf(chosen.answer.kind)
  }
  smsc.answerSubmits(take)

  function replyOf(kind: 'rejected' | 'try-later' | 'unclear'): SubmitReply {
    if (kind === 'unclear') return []
    return [{ status: kind === 'rejected' ? 0x0b : 0x45 }]
  }

  function show(submit: PduOf<'submit_sm'>): SubmitReply {
    const text = submit.shortMessage.toString('latin1')
    screens.shift()?.({ text, ends: submit.tlvs.get(TAGS.ussdServiceOp)?.[0] === 17 })
    return [{ messageId: 'screen' }]
  }

  async function ask(from: string, typed: string, op: number): Promise<ScreenAnswer> {
    const shown = new Promise<ScreenAnswer>((resolve) => screens.push(resolve))
    const tlvs = new Map([
      [TAGS.ussdServiceOp, Buffer.from([op])],
      [TAGS.itsSessionInfo, Buffer.from([7, 0])],
    ])
    await smsc.deliver({
      ...PHONE_ADDRESS,
      source: from.slice(1),
      dataCoding: 0x0f,
      shortMessage: Buffer.from(typed),
      tlvs,
    })
    return shown
  }

  /** The parts go out together, in the wrong order. */
  async function text(from: string, body: string, again?: 'again'): Promise<boolean> {
    if (again === undefined) made += 1
    const { dataCoding, parts } = codeText(body, config, made)
    const send = (part: PduParts<'deliver_sm'>): Promise<number> =>
      smsc.deliver({ ...PHONE_ADDRESS, source: from.slice(1), dataCoding, ...part })
    const statuses = await Promise.all(parts.toReversed().map(send))
    return statuses.every((status) => status === 0)
  }

  return {
    gateway,
    treat: (next) => void (treatment = next),
    inbox: (number) => inboxes.get(number) ?? [],
    text,
    dial: (from, code) => ask(from, code, 1),
    press: (from, typed) => ask(from, typed, 18),
    async settled() {
      await new Promise((resolve) => setImmediate(resolve))
      await Promise.all(receipts)
    },
    stop: smsc.stop,
  }
}

describeGateway('smpp', () => smppNetwork({}))
describeGateway('smpp (two binds, sar TLVs)', () =>
  smppNetwork({ bindAs: 'transmitter-and-receiver', longTexts: 'sar' }),
)
describeGateway('smpp (message_payload, Latin-1)', () =>
  smppNetwork({ longTexts: 'payload', plain: { dataCoding: 3, alphabet: 'latin1' } }),
)
