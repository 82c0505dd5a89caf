import type { Lifecycle } from '../platform/lifecycle.ts'
import type { Service } from './service.ts'

const SWEEP_MS = 5_000
const LINK_MS = 10_000
const CLOSE_DAY_MS = 10 * 60_000
const SEARCH_ERASED_MS = 10_000
const FIND_DOUBLES_MS = 60 * 60_000
const RETAIN_MS = 24 * 60 * 60_000

/** Sweeps and closes days again and again; a round that fails is noted and the next one goes on. */
export function startRounds(service: Service, lifecycle: Lifecycle): void {
  // Visits that passed while nothing ran are closed before anything is said of them.
  let firstClosing: Promise<unknown> | undefined
  const closeDay = (): Promise<unknown> => {
    const closing = service.closeDay()
    firstClosing ??= closing.catch(() => undefined)
    return closing
  }
  const sweep = async (): Promise<void> => {
    await firstClosing
    await service.sweep()
  }
  repeat(CLOSE_DAY_MS, closeDay, service, lifecycle)
  repeat(SWEEP_MS, sweep, service, lifecycle)
  repeat(LINK_MS, service.linkRecord, service, lifecycle)
  repeat(SEARCH_ERASED_MS, service.searchErased, service, lifecycle)
  repeat(FIND_DOUBLES_MS, service.findDoubles, service, lifecycle)
  repeat(RETAIN_MS, service.retain, service, lifecycle)
}

/** Does work again and again until the process stops; a round that fails is noted. */
export function repeat(
  everyMs: number,
  work: () => Promise<unknown>,
  { deps }: Service,
  lifecycle: Lifecycle,
): void {
  let isStopped = false
  let timer: NodeJS.Timeout | undefined
  let round = Promise.resolve()
  const run = (): void => {
    round = work()
      .then(() => undefined)
      .catch((error: unknown) => {
        deps.log.error('a round failed', { error })
      })
      .finally(() => {
        if (!isStopped) timer = setTimeout(run, everyMs)
      })
  }
  run()
  lifecycle.onStop('the rounds', async () => {
    isStopped = true
    clearTimeout(timer)
    await round
  })
}
