import { once } from 'node:events'
import './global-setup.ts'

/** Ends the process that holds the servers and waits until it has stopped them. */
export default async function globalTeardown(): Promise<void> {
  const servers = globalThis.testServers
  if (servers?.exitCode !== null) return
  servers.stdin?.end()
  await once(servers, 'exit')
}
