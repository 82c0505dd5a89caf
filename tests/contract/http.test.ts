import { readFileSync } from 'node:fs'
import { z } from 'zod'
import type { ScreenAnswer } from '../../src/app/ports.ts'
import type { Treatment } from '../../src/gateway/handset/handset-gateway.ts'
import { HttpGatewayConfig } from '../../src/gateway/http/http-config.ts'
import { httpGateway } from '../../src/gateway/http/http-gateway.ts'
import {
  signedHeaders,
  startTestProvider,
  type ProviderReply,
  type ProviderRequest,
} from '../support/test-provider.ts'
import { describeGateway } from './gateway.contract.ts'
import { NOW, quietLog, stillClock, type Network } from './network.ts'

const EXAMPLE = new URL('../../src/data/gateways/example-json.json', import.meta.url)
const SECRETS = { 'example-json-token': 'out', 'example-json-signing': 'in' }
const FATES = { delivered: 'arrived', undelivered: 'lost', 'under-way': 'travelling', unknown: '?' }

const Posted = z.object({ phone: z.string(), words: z.string() })

/** The provider of the shipped example, on loopback. */
async function httpNetwork(): Promise<Network> {
  const provider = await startTestProvider()
  const config = HttpGatewayConfig.parse(JSON.parse(readFileSync(EXAMPLE, 'utf8')))
  const request = { ...config.submit.request, url: `${provider.url}/outbox`, timeoutMs: 1000 }
  const gateway = httpGateway({
    config: { ...config, submit: { ...config.submit, request } },
    secrets: SECRETS,
    clock: stillClock,
    log: quietLog,
    random: () => 0,
  })
  const inboxes = new Map<string, string[]>()
  const numberOfLast = new Map<string, string>()
  const receipts: Promise<unknown>[] = []
  let made = 0
  let steps = 0
  let treatment: (text: { to: string; body: string }) => Treatment = () => ({})

  /** Every request gets a time of its own, so that no two have the same signature. */
  async function call(purpose: string, content: unknown): Promise<string> {
    made += 1
    const body = JSON.stringify(content)
    const headers = signedHeaders(body, 'in', new Date(NOW.getTime() + made * 1000))
    const answer = await gateway.receive(purpose, {
      method: 'POST',
      headers,
      query: '',
      body: Buffer.from(body),
    })
    return answer.body
  }

  async function giveReceipts(number: string, states: readonly (keyof typeof FATES)[]): Promise<void> {
    for (const state of states) await call('receipt', { news: [{ number, fate: FATES[state] }] })
  }

  function replyOf(answer: Treatment['answer'], number: string): ProviderReply {
    if (answer === undefined) return { status: 200, body: JSON.stringify({ pieces: [{ number }] }) }
    if (answer.kind === 'unclear') return null
    return answer.kind === 'rejected'
      ? { status: 422, body: JSON.stringify({ why: 'no-such-phone' }) }
      : { status: 503, headers: { 'retry-after': '7' }, body: '' }
  }

  async function take({ body }: ProviderRequest): Promise<ProviderReply> {
    const { phone, words } = Posted.parse(JSON.parse(body))
    const {
      answer,
      arrives = answer === undefined,
      receipts: states,
      receiptsFirst,
    } = treatment({ to: phone, body: words })
    const number = `n-${String((made += 1))}`
    if (arrives) inboxes.set(phone, [...(inboxes.get(phone) ?? []), words])
    const given = giveReceipts.bind(null, number, states ?? (answer === undefined ? ['delivered'] : []))
    if (receiptsFirst === true) await given()
    else setImmediate(() => receipts.push(given()))
    return replyOf(answer, number)
  }
  provider.answer(take)

  async function show(phone: string, keys: string): Promise<ScreenAnswer> {
    const shown = await call('screen', {
      call: phone,
      phone,
      keys,
      dialled: keys,
      step: String((steps += 1)),
    })
    const { show: text, waitForKeys } = z
      .object({ show: z.string(), waitForKeys: z.boolean() })
      .parse(JSON.parse(shown))
    return { text, ends: !waitForKeys }
  }

  return {
    gateway,
    treat(next) {
      treatment = next
    },
    inbox: (number) => inboxes.get(number) ?? [],
    text(from, body, again) {
      const number = (again && numberOfLast.get(body)) ?? `t-${String((made += 1))}`
      numberOfLast.set(body, number)
      return call('text', { number, phone: from, dialled: '70900', words: body }).then(
        () => true,
        () => false,
      )
    },
    dial: show,
    press: show,
    async settled() {
      await new Promise((resolve) => setImmediate(resolve))
      await Promise.all(receipts)
    },
    stop: provider.stop,
  }
}

describeGateway('http', httpNetwork)
