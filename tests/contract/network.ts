import type { Clock, Gateway, Log, OutgoingText, ScreenAnswer } from '../../src/app/ports.ts'
import type { Treatment } from '../../src/gateway/handset/handset-gateway.ts'

/** One network behind one gateway, as the contract suite drives it from the far side. */
export interface Network {
  readonly gateway: Gateway
  /** Changes how texts are treated; the words of a reason may differ from network to network. */
  readonly treat: (choose: (text: Pick<OutgoingText, 'to' | 'body'>) => Treatment) => void
  /** The words that reached a phone, whole, oldest first. */
  readonly inbox: (number: string) => readonly string[]
  /** Sends a text from a phone; true when the gateway confirmed it. `again` is the same text delivered again. */
  readonly text: (from: string, body: string, again?: 'again') => Promise<boolean>
  readonly dial: (from: string, code: string) => Promise<ScreenAnswer>
  readonly press: (from: string, typed: string) => Promise<ScreenAnswer>
  /** Resolves when every receipt was given. */
  readonly settled: () => Promise<void>
  /** Frees the far side; the gateway is closed before. */
  readonly stop: () => Promise<void>
}

/** The moment at which contract tests happen. */
export const NOW = new Date('2026-03-15T09:00:00Z')

/** A clock that stands still. */
export const stillClock: Clock = { now: () => NOW }

const nothing = (): void => undefined

/** A log nobody reads. */
export const quietLog: Log = { info: nothing, warn: nothing, error: nothing }
