import { readFileSync } from 'node:fs'
import { z } from 'zod'
import type { Clock } from '../../src/app/ports.ts'
import { HttpGatewayConfig } from '../../src/gateway/http/http-config.ts'
import { httpGateway } from '../../src/gateway/http/http-gateway.ts'
import type { HttpGateway } from '../../src/gateway/http/http-gateway.ts'
import { openLogger } from '../../src/platform/logger.ts'
import { signedHeaders, startTestProvider } from './test-provider.ts'

const EXAMPLE = new URL('../../src/data/gateways/example-json.json', import.meta.url)
const SIGNING_KEY = 'in'

const posted = z.object({ phone: z.string(), words: z.string() })

/** A text the provider took over. */
export interface TakenText {
  readonly number: string
  readonly phone: string
  readonly words: string
  readonly idempotencyKey: string
  readonly at: Date
}

/** A provider as src/data/gateways/example-json.json describes it, on a real socket, and our gateway to it. */
export interface JsonProvider {
  readonly gateway: HttpGateway
  /** What a GATEWAY_FILE says of it. */
  readonly description: HttpGatewayConfig
  /** The secrets that its description names. */
  readonly secrets: Readonly<Record<string, string>>
  readonly taken: readonly TakenText[]
  /** From now on answers wait until what is given here has come to pass; what is asked for is taken at once. */
  readonly answerAfter: (passed: Promise<unknown>) => void
  /** Where the service is; known only once it listens. */
  readonly callBackAt: (address: string) => void
  /** Calls the service back, signed; the same `key` again is the same text delivered again. */
  readonly deliver: (phone: string, words: string, key?: string) => Promise<number>
  readonly receipt: (number: string, fate: 'arrived' | 'lost') => Promise<number>
  /** Calls back with content and headers as given. */
  readonly callBack: (purpose: string, body: string, headers: Record<string, string>) => Promise<Response>
  readonly stop: () => Promise<void>
}

/** Starts the provider. */
export async function startJsonProvider(clock: Clock): Promise<JsonProvider> {
  const server = await startTestProvider()
  const config = HttpGatewayConfig.parse(JSON.parse(readFileSync(EXAMPLE, 'utf8')))
  const request = { ...config.submit.request, url: `${server.url}/outbox` }
  const description = { ...config, submit: { ...config.submit, request } }
  const secrets = { 'example-json-token': 'out', 'example-json-signing': SIGNING_KEY }
  const gateway = httpGateway({
    config: description,
    secrets,
    clock,
    log: openLogger('silent'),
    random: () => 0,
  })
  const taken: TakenText[] = []
  let address = ''
  let calls = 0

  let passed: Promise<unknown> = Promise.resolve()

  server.answer(async ({ body, headers }) => {
    const { phone, words } = posted.parse(JSON.parse(body))
    const number = `n-${taken.length + 1}`
    const idempotencyKey = String(headers['idempotency-key'])
    taken.push({ number, phone, words, idempotencyKey, at: clock.now() })
    await passed
    return { status: 200, body: JSON.stringify({ pieces: [{ number }] }) }
  })

  function callBack(purpose: string, body: string, headers: Record<string, string>): Promise<Response> {
    return fetch(`${address}/callbacks/${gateway.name}/${purpose}`, { method: 'POST', headers, body })
  }

  async function callBackSigned(purpose: string, content: unknown): Promise<number> {
    const body = JSON.stringify(content)
    // Every request has a time of its own, so that no two have the same signature.
    calls += 1
    const headers = signedHeaders(body, SIGNING_KEY, new Date(clock.now().getTime() + (calls % 200) * 1000))
    return (await callBack(purpose, body, headers)).status
  }

  return {
    gateway,
    description,
    secrets,
    taken,
    answerAfter: (given) => {
      passed = given
    },
    callBackAt: (given) => {
      address = given
    },
    deliver: (phone, words, key = `t-${calls}`) =>
      callBackSigned('text', { number: key, phone, dialled: '70900', words }),
    receipt: (number, fate) => callBackSigned('receipt', { news: [{ number, fate }] }),
    callBack,
    stop: server.stop,
  }
}
