import { once } from 'node:events'
import { type AddressInfo, createServer } from 'node:net'

export const LOOPBACK = '127.0.0.1'

/** A loopback port nobody listens on at this moment; another process may still take it first. */
export async function freePort(): Promise<number> {
  const server = createServer().listen(0, LOOPBACK)
  await once(server, 'listening')
  const { port } = server.address() as AddressInfo // a TCP server's address is never a path
  server.close()
  await once(server, 'close')
  return port
}
