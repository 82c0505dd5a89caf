import { fork } from 'node:child_process'
import type { ChildProcess } from 'node:child_process'
import { once } from 'node:events'

/** Worker processes that are killed and replaced. */
export interface Crew {
  /** Kills one without warning and starts another in its place. */
  readonly killOne: () => void
  /** Tells all of them what time it is. */
  readonly setOffset: (ms: number) => void
  readonly stop: () => Promise<void>
}

export interface CrewOptions {
  readonly workers: number
  /** Of these, so many also plan children anew all the time. */
  readonly planners: number
  readonly environment: Readonly<Record<string, string>>
  readonly offsetMs: () => number
}

export async function startCrew({ workers, planners, environment, offsetMs }: CrewOptions): Promise<Crew> {
  const crew: ChildProcess[] = []
  let killed = 0
  const hire = (doesPlan: boolean): ChildProcess =>
    fork(new URL('worker.ts', import.meta.url), {
      execArgv: ['--import', 'tsx', '--disable-warning=ExperimentalWarning'],
      env: {
        ...process.env,
        ...environment,
        CHAOS_OFFSET_MS: String(offsetMs()),
        ...(doesPlan ? { CHAOS_PLANS: 'on' } : {}),
      },
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    })
  for (let at = 0; at < workers; at += 1) crew.push(hire(at < planners))
  await Promise.all(crew.map((worker) => once(worker, 'message')))
  return {
    killOne: () => {
      const place = (killed += 1) % crew.length
      crew[place]?.kill('SIGKILL')
      crew[place] = hire(place < planners)
    },
    setOffset: (ms) => {
      for (const worker of crew) if (worker.connected) worker.send(ms)
    },
    stop: async () => {
      await Promise.all(
        crew.map(async (worker) => {
          if (worker.exitCode !== null || worker.signalCode !== null) return
          const over = once(worker, 'exit')
          worker.kill('SIGKILL')
          await over
        }),
      )
    },
  }
}
