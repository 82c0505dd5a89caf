import { type ChildProcess, spawn } from 'node:child_process'
import { createInterface } from 'node:readline'

declare global {
  /** The process that holds the servers of this run; tests/support/global-teardown.ts ends it. */
  var testServers: ChildProcess | undefined
}

/**
 * Starts what the tests talk to. A process of its own holds the servers: it stops them when this one ends,
 * however it ends. Every test file then finds the addresses in the environment (tests/support/environment.ts).
 */
export default async function globalSetup(): Promise<void> {
  const servers = spawn(process.execPath, ['--import', 'tsx', 'tests/support/hold-servers.ts'], {
    stdio: ['pipe', 'pipe', 'inherit'],
    // A stop from the keyboard reaches this process only, which then ends the other one in order.
    detached: true,
  })
  globalThis.testServers = servers
  for await (const line of createInterface({ input: servers.stdout })) {
    process.env['DUEBELL_TEST_SERVERS'] = line
    return
  }
  throw new Error('The servers that the tests need did not start; see above.')
}
