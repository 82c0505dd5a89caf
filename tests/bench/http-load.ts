import { Agent, request } from 'node:http'
import { performance } from 'node:perf_hooks'

/** One request of a load. */
export interface Call {
  readonly path: string
  readonly headers: Readonly<Record<string, string>>
  readonly body: string
}

const agent = new Agent({ keepAlive: true, maxSockets: 100 })

/** Sends one request and answers its words; any other status than the expected one is a fault of the bench. */
export function post(address: string, { path, headers, body }: Call, status: number): Promise<string> {
  return new Promise((resolve, reject) => {
    const sent = request(`${address}${path}`, { method: 'POST', agent, headers }, (response) => {
      const parts: Buffer[] = []
      response.on('data', (part: Buffer) => parts.push(part))
      response.on('end', () => {
        const words = Buffer.concat(parts).toString()
        if (response.statusCode === status) resolve(words)
        else reject(new Error(`${path} answered ${String(response.statusCode)}: ${words}`))
      })
    })
    sent.on('error', reject)
    sent.end(body)
  })
}

/** Does tasks one after the other in each of some lanes; answers how long each took, in milliseconds. */
export async function timesOf(
  tasks: readonly (() => Promise<unknown>)[],
  lanes: number,
): Promise<readonly number[]> {
  const times: number[] = []
  const left = tasks.values()
  const lane = async (): Promise<void> => {
    for (const task of left) {
      const start = performance.now()
      await task()
      times.push(performance.now() - start)
    }
  }
  await Promise.all(Array.from({ length: lanes }, lane))
  return times
}

/** Lets go of the connections kept. */
export function hangUp(): void {
  agent.destroy()
}
