import { once } from 'node:events'
import { createServer } from 'node:http'
import type { RequestListener } from 'node:http'
import type { AddressInfo } from 'node:net'
import type { Lifecycle } from '../platform/lifecycle.ts'

export interface ListenOptions {
  readonly host: string
  /** 0 takes a free port. */
  readonly port: number
  readonly lifecycle: Lifecycle
}

/** Serves until the lifecycle stops; answers the address. Requests under way are finished, idle connections closed. */
export async function listen(
  app: RequestListener,
  { host, port, lifecycle }: ListenOptions,
): Promise<string> {
  const server = createServer({ requestTimeout: 30_000, headersTimeout: 10_000 }, app)
  server.listen(port, host)
  await once(server, 'listening')
  lifecycle.onStop('the web server', async () => {
    const closed = once(server, 'close')
    // A page that asks again every second would keep its connection, and with it the server, for ever.
    server.prependListener('request', (_request, response) => {
      response.setHeader('connection', 'close')
    })
    server.close()
    server.closeIdleConnections()
    await closed
  })
  // A server listening on a port has an address that says so.
  const address = server.address() as AddressInfo
  return `http://${address.family === 'IPv6' ? `[${address.address}]` : address.address}:${address.port}`
}
