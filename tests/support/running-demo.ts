import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { openTestRedis } from './test-redis.ts'
import { TEST_KEYS } from './test-vault.ts'
import { testServers } from './test-servers.ts'

/** `duebell demo` as a person runs it, after its story. */
export interface RunningDemo {
  readonly address: string
  /** The path of the link that lets the manager in once. */
  readonly signInPath: string
}

const ADDRESS = /^The district: +(http:\/\/[^/]+)(\/\S+)/

/** Plays the demo on the servers of the tests and waits for its pages; it ends after the last test of the file. */
export async function runningDemo(): Promise<RunningDemo> {
  const { serverUrl } = testServers()
  const demo = spawn(process.execPath, ['--import', 'tsx', 'src/main/duebell.ts', 'demo'], {
    env: {
      ...process.env,
      SEALING_KEYS_FILE: TEST_KEYS,
      DATABASE_URL: serverUrl,
      REDIS_URL: openTestRedis().url,
      HTTP_PORT: '0',
    },
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  afterAll(async () => {
    const ended = once(demo, 'exit')
    demo.kill('SIGINT')
    await ended
  })
  for await (const line of createInterface({ input: demo.stdout })) {
    const [, address, signInPath] = ADDRESS.exec(line) ?? []
    if (address === undefined || signInPath === undefined) continue
    demo.stdout.resume()
    return { address, signInPath }
  }
  throw new Error('The demo ended before it served its pages; see above.')
}
