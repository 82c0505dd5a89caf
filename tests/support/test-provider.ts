import { createHmac } from 'node:crypto'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { buffer } from 'node:stream/consumers'

/** A request the provider got. */
export interface ProviderRequest {
  readonly method: string
  readonly path: string
  readonly headers: IncomingMessage['headers']
  readonly body: string
}

/** What the provider answers; `null` is silence until the other side gives up. */
export type ProviderReply = {
  readonly status: number
  readonly headers?: Record<string, string>
  readonly body: string
} | null

/** A provider's HTTP server on loopback. */
export interface TestProvider {
  readonly url: string
  /** Everything asked so far. */
  readonly requests: readonly ProviderRequest[]
  /** Changes how requests are answered. */
  readonly answer: (reply: (request: ProviderRequest) => ProviderReply | Promise<ProviderReply>) => void
  readonly stop: () => Promise<void>
}

/** Starts a provider that answers 404 until told otherwise. */
export async function startTestProvider(): Promise<TestProvider> {
  const requests: ProviderRequest[] = []
  let reply: (request: ProviderRequest) => ProviderReply | Promise<ProviderReply> = () => ({
    status: 404,
    body: '',
  })

  async function respond(incoming: IncomingMessage, response: ServerResponse): Promise<void> {
    const { method = '', url: path = '', headers } = incoming
    const request = { method, path, headers, body: (await buffer(incoming)).toString('utf8') }
    requests.push(request)
    const given = await reply(request)
    if (given !== null) response.writeHead(given.status, given.headers).end(given.body)
  }

  const server = createServer((incoming, response) => {
    respond(incoming, response).catch(() => response.destroy())
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  // A server that listens on a port has an address with a port.
  const { port } = server.address() as AddressInfo
  return {
    url: `http://127.0.0.1:${String(port)}`,
    requests,
    answer(next) {
      reply = next
    },
    stop() {
      server.closeAllConnections()
      return new Promise((resolve) =>
        server.close(() => {
          resolve()
        }),
      )
    },
  }
}

/** The headers of a request signed as src/data/gateways/example-json.json describes. */
export function signedHeaders(body: string, key: string, at: Date): Record<string, string> {
  const signedAt = String(Math.floor(at.getTime() / 1000))
  const digest = createHmac('sha256', key).update(`${signedAt}\n${body}`).digest('hex')
  return { 'content-type': 'application/json', 'x-signed-at': signedAt, 'x-signature': digest }
}
