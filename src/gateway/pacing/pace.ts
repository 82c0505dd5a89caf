/**
 * Whose turn it is on one way out: a bind, or a provider's account. A part (or text) goes when fewer than `allowed`
 * wait for an answer, the rate has a token, and there is no pause. Urgent ones go first, then the order in which
 * tickets were taken.
 *
 *   steady    allowed = window. An answer "too fast" → pausing.
 *   pausing   nothing goes, for a pause that doubles with every time. When it is over → probing.
 *   probing   allowed = 1, and one more with every good answer; back at the window → steady.
 */
import { backoffMs, type Backoff } from './backoff.ts'
import { refill, waitForToken, type Bucket, type Rate } from './token-bucket.ts'

/** A place in the line; a part that must go again keeps its place. */
export interface Ticket {
  readonly order: number
  readonly isUrgent: boolean
}

/** What pacing needs. */
export interface PaceOptions {
  readonly window: number
  /** `null` is as fast as the window allows. */
  readonly rate: Rate | null
  readonly pause: Backoff
  readonly random: () => number
  /** Milliseconds on a clock that only goes forward. */
  readonly elapsedMs: () => number
}

interface Waiting {
  readonly ticket: Ticket
  readonly go: (isMyTurn: boolean) => void
  readonly patience: NodeJS.Timeout
}

/** Lets parts go at the speed that the other side can bear. */
export class Pace {
  readonly #options: PaceOptions
  readonly #waiting: Waiting[] = []
  #inFlight = 0
  #allowed: number
  #bucket: Bucket
  #resumeAt = 0
  #pauses = 0
  #tickets = 0
  #timer: NodeJS.Timeout | undefined
  #isClosed = false

  constructor(options: PaceOptions) {
    this.#options = options
    this.#allowed = options.window
    this.#bucket = { tokens: 0, at: options.elapsedMs() }
  }

  /** A place at the end of the line of its kind. */
  ticket(isUrgent: boolean): Ticket {
    this.#tickets += 1
    return { order: this.#tickets, isUrgent }
  }

  /** Resolves with true when the ticket's turn has come; with false when it did not within `patienceMs`. */
  turn(ticket: Ticket, patienceMs: number): Promise<boolean> {
    if (this.#isClosed) return Promise.resolve(false)
    return new Promise((go) => {
      const patience = setTimeout(() => {
        this.#waiting.splice(this.#waiting.indexOf(waiting), 1)
        if (this.#waiting.length === 0) clearTimeout(this.#timer)
        go(false)
      }, patienceMs)
      const waiting = { ticket, go, patience }
      this.#queue(waiting)
      this.#letGo()
    })
  }

  /** Ends a turn: its part was taken, came too fast (and may take another turn), or says nothing of the speed. */
  end(how: 'taken' | 'too-fast' | 'neither'): void {
    if (how === 'taken') this.#speedUp()
    if (how === 'too-fast') this.#slowDown()
    this.#inFlight -= 1
    this.#letGo()
  }

  /** Nobody's turn comes any more. */
  close(): void {
    this.#isClosed = true
    clearTimeout(this.#timer)
    for (const { patience, go } of this.#waiting.splice(0)) {
      clearTimeout(patience)
      go(false)
    }
  }

  /** What was taken during a pause left before the pause, and says nothing of the speed after it. */
  #speedUp(): void {
    if (this.#options.elapsedMs() < this.#resumeAt) return
    this.#pauses = 0
    this.#allowed = Math.min(this.#options.window, this.#allowed + 1)
  }

  /** Of many parts that came too fast together, the first lengthens the pause. */
  #slowDown(): void {
    const { elapsedMs, pause, random } = this.#options
    const now = elapsedMs()
    this.#allowed = 1
    if (now < this.#resumeAt) return
    this.#resumeAt = now + backoffMs(this.#pauses, pause, random)
    this.#pauses += 1
  }

  #queue(waiting: Waiting): void {
    const { ticket } = waiting
    const place = this.#waiting.findLastIndex((other) => isBefore(other.ticket, ticket))
    this.#waiting.splice(place + 1, 0, waiting)
  }

  #letGo(): void {
    clearTimeout(this.#timer)
    while (this.#inFlight < this.#allowed) {
      const [first] = this.#waiting
      if (first === undefined) return
      const waitMs = this.#waitMs()
      if (waitMs > 0) {
        this.#timer = setTimeout(() => {
          this.#letGo()
        }, Math.ceil(waitMs))
        return
      }
      this.#waiting.shift()
      clearTimeout(first.patience)
      this.#inFlight += 1
      this.#bucket = { ...this.#bucket, tokens: this.#bucket.tokens - 1 }
      first.go(true)
    }
  }

  /** How long nothing may go. */
  #waitMs(): number {
    const { rate, elapsedMs } = this.#options
    const now = elapsedMs()
    if (rate === null) return Math.max(0, this.#resumeAt - now)
    this.#bucket = refill(this.#bucket, rate, now)
    return Math.max(waitForToken(this.#bucket, rate), this.#resumeAt - now)
  }
}

function isBefore(a: Ticket, b: Ticket): boolean {
  return a.isUrgent === b.isUrgent ? a.order < b.order : a.isUrgent
}
