/**
 * One bind that is kept up: a new session for every connection, with a growing pause between tries.
 * Down → a session binds → up → the session ends → down, until closed.
 */
import { setTimeout } from 'node:timers/promises'
import type { Log } from '../../app/ports.ts'
import { backoffMs } from '../pacing/backoff.ts'
import { SmppSession, type BindOutcome, type SessionOptions } from './session.ts'
import type { SmppConfig } from './smpp-config.ts'
import { isHopelessBind, statusText } from './status.ts'

/** A bind that is kept up. */
export interface Link {
  /** Begins to bind; resolves when the first try has come to an end, whichever. */
  readonly open: () => Promise<void>
  /** The bound session, if there is one now. */
  readonly session: () => SmppSession | null
  /** Unbinds and stays down. */
  readonly close: () => Promise<void>
}

/** What a link needs. */
export interface LinkOptions {
  readonly name: string
  readonly timing: SmppConfig['timing']
  readonly session: Omit<SessionOptions, keyof SmppConfig['timing']>
  readonly random: () => number
  readonly elapsedMs: () => number
  readonly log: Log
}

/** Builds a link that is down. */
export function smppLink(options: LinkOptions): Link {
  const { name: gateway, timing, random, elapsedMs, log } = options
  const closing = new AbortController()
  let session: SmppSession | null = null
  let kept: Promise<void> = Promise.resolve()

  /** One session from its first to its last moment; gives how long it was bound. */
  async function live(onTried: () => void): Promise<{ outcome: BindOutcome; heldMs: number }> {
    const current = new SmppSession({ ...timing, ...options.session })
    session = current
    const outcome = await current.bind()
    report(outcome)
    onTried()
    if (outcome.kind !== 'bound') return { outcome, heldMs: 0 }
    const boundAt = elapsedMs()
    log.warn('link down', { gateway, reason: await current.closed })
    return { outcome, heldMs: elapsedMs() - boundAt }
  }

  function report(outcome: BindOutcome): void {
    if (outcome.kind === 'bound') log.info('link up', { gateway })
    else if (outcome.kind === 'failed') log.warn('no link', { gateway, reason: outcome.reason })
    else log.error('bind refused', { gateway, status: statusText(outcome.status) })
  }

  function pauseAfter(outcome: BindOutcome, failures: number): number {
    const isHopeless = outcome.kind === 'refused' && isHopelessBind(outcome.status)
    const backoff = { firstMs: timing.firstRetryMs, longestMs: timing.longestRetryMs }
    return isHopeless ? timing.hopelessRetryMs : backoffMs(failures, backoff, random)
  }

  async function keepUp(onTried: () => void): Promise<void> {
    let failures = 0
    let pauseMs = 0
    while (!closing.signal.aborted) {
      const { outcome, heldMs } = await live(onTried)
      // A link that held for longer than the pause before it was a good one.
      if (heldMs > pauseMs) failures = 0
      pauseMs = pauseAfter(outcome, failures)
      failures += 1
      // Being closed is one way for the pause to end.
      await setTimeout(pauseMs, undefined, { signal: closing.signal }).catch(() => undefined)
    }
  }

  return {
    open: () => new Promise((onTried) => void (kept = keepUp(onTried))),
    session: () => (session?.isBound === true ? session : null),
    async close() {
      closing.abort()
      await session?.unbind()
      await kept
    },
  }
}
