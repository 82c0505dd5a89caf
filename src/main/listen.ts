import { once } from 'node:events'
import { createServer as createPlainServer } from 'node:http'
import type { RequestListener, Server, ServerOptions } from 'node:http'
import { createServer as createTlsServer } from 'node:https'
import type { AddressInfo } from 'node:net'
import type { Lifecycle } from '../platform/lifecycle.ts'

/** A certificate with its chain, and its key, both as PEM text. */
export interface Certificate {
  readonly certificate: string
  readonly key: string
}

export interface ListenOptions {
  readonly host: string
  /** 0 takes a free port. */
  readonly port: number
  readonly lifecycle: Lifecycle
  /** Left out or null: plain HTTP, for a loopback address or behind a proxy that ends TLS. */
  readonly tls?: Certificate | null
  /** Left out: the service's own. */
  readonly patience?: Patience
}

/** How long someone may take to send. */
export interface Patience {
  readonly headersMs: number
  readonly requestMs: number
  /** A connection over which nothing moved for so long is closed. */
  readonly silenceMs: number
  /** How often connections are looked at. */
  readonly checkMs: number
}

const PATIENCE: Patience = { headersMs: 10_000, requestMs: 30_000, silenceMs: 300_000, checkMs: 5_000 }
/** A connection carries this many requests and is then made anew: load spreads, and nothing stays for ever. */
const REQUESTS_A_CONNECTION = 10_000

/** Serves until the lifecycle stops; answers the address. Requests under way are finished, idle connections closed. */
export async function listen(app: RequestListener, options: ListenOptions): Promise<string> {
  const { host, port, lifecycle, tls = null, patience = PATIENCE } = options
  const server = openServer(app, tls, {
    requestTimeout: patience.requestMs,
    headersTimeout: patience.headersMs,
    connectionsCheckingInterval: patience.checkMs,
  })
  server.timeout = patience.silenceMs
  server.maxRequestsPerSocket = REQUESTS_A_CONNECTION
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
  const shown = address.family === 'IPv6' ? `[${address.address}]` : address.address
  return `${tls === null ? 'http' : 'https'}://${shown}:${address.port}`
}

function openServer(app: RequestListener, tls: Certificate | null, options: ServerOptions): Server {
  if (tls === null) return createPlainServer(options, app)
  return createTlsServer({ ...options, cert: tls.certificate, key: tls.key, minVersion: 'TLSv1.2' }, app)
}
