import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { z } from 'zod'

/** How many jobs of each kind a process did. */
export type WorkDone = Readonly<Record<'read-text' | 'send-text' | 'hand-over', number>>

/** A process of the service that has some of its roles. */
export interface RoleProcess {
  readonly roles: string
  /** Where its web side is. */
  readonly address: string
  /** Ends it in the middle of whatever it does, as a power cut would. */
  readonly kill: () => Promise<void>
  /**
   * Asks it to stop; answers how many jobs of each queue it did. Nothing is known of one that was killed; one that
   * does not end well is a fault.
   */
  readonly stop: () => Promise<WorkDone | null>
}

const serving = z.object({ msg: z.literal('serving'), address: z.string() })
const worked = z.object({
  msg: z.literal('worked'),
  'read-text': z.int().default(0),
  'send-text': z.int().default(0),
  'hand-over': z.int().default(0),
})

/** Starts a process and waits until it serves. */
export async function startRoles(
  roles: string,
  environment: Readonly<Record<string, string>>,
): Promise<RoleProcess> {
  const child = spawn(process.execPath, ['--import', 'tsx', 'tests/support/fast-duebell.ts'], {
    env: { ...process.env, ...environment, ROLES: roles, HTTP_PORT: '0', LOG_LEVEL: 'info' },
    stdio: ['ignore', 'inherit', 'pipe'],
  })
  const exited = once(child, 'exit')
  const lines = createInterface({ input: child.stderr })
  let done: WorkDone | null = null
  const address = await new Promise<string>((resolve, reject) => {
    lines.on('line', (line) => {
      if (!line.startsWith('{')) {
        process.stderr.write(`${line}\n`)
        return
      }
      const said: unknown = JSON.parse(line)
      const started = serving.safeParse(said)
      if (started.success) resolve(started.data.address)
      const { success, data } = worked.safeParse(said)
      if (success) done = data
    })
    exited.then(() => {
      reject(new Error(`the process of ${roles} did not start; see above`))
    }, reject)
  })
  const end = async (signal: NodeJS.Signals): Promise<void> => {
    if (child.exitCode === null && child.signalCode === null) child.kill(signal)
    await exited
  }
  return {
    roles,
    address,
    kill: () => end('SIGKILL'),
    stop: async () => {
      await end('SIGTERM')
      if ((child.exitCode ?? 0) !== 0) throw new Error(`the process of ${roles} did not end well; see above`)
      return done
    },
  }
}
