import { once } from 'node:events'
import { setTimeout as delay } from 'node:timers/promises'

/** The things that were started, so that all of them are stopped. */
export interface Lifecycle {
  /** Registers what undoes a start; call it right after the start. */
  readonly onStop: (name: string, step: () => Promise<void>) => void
  /**
   * Runs the steps one after another, the last registered first; each runs once, however often this is called.
   * @throws {AggregateError} after the last step, when any failed or took too long
   */
  readonly stop: () => Promise<void>
}

/** Opens an empty lifecycle whose steps may take `stepTimeoutMs` each. */
export function openLifecycle(stepTimeoutMs: number): Lifecycle {
  const steps: { readonly name: string; readonly step: () => Promise<void> }[] = []
  let stopping: Promise<void> | undefined

  const stopAll = async (): Promise<void> => {
    const failures: Error[] = []
    for (const { name, step } of steps.reverse()) {
      try {
        await inTime(step(), stepTimeoutMs)
      } catch (error) {
        failures.push(new Error(`stopping ${name} failed`, { cause: error }))
      }
    }
    if (failures.length > 0) throw new AggregateError(failures, 'not everything stopped cleanly')
  }

  return {
    onStop: (name, step) => {
      steps.push({ name, step })
    },
    stop: () => (stopping ??= stopAll()),
  }
}

async function inTime(work: Promise<void>, limitMs: number): Promise<void> {
  const timer = new AbortController()
  const limit = delay(limitMs, undefined, { signal: timer.signal }).then(() => {
    throw new Error(`it took longer than ${limitMs} ms`)
  })
  try {
    await Promise.race([work, limit])
  } finally {
    timer.abort()
  }
}

/** Waits for the request to stop (SIGINT or SIGTERM); a second one ends the process at once. */
export async function stopRequested(): Promise<void> {
  const listening = new AbortController()
  const { signal } = listening
  await Promise.race([once(process, 'SIGINT', { signal }), once(process, 'SIGTERM', { signal })])
  listening.abort()
}
