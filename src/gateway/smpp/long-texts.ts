/**
 * Joins the parts of incoming texts and says when each part may be confirmed to the SMSC. The first parts wait
 * a moment for the rest, so that as a rule no part is confirmed before the whole text is stored. An SMSC that
 * sends one part at a time would wait for ever, so after that moment a part is confirmed on its own and kept
 * here in memory.
 */
import {
  addPart,
  expireParts,
  groupKey,
  isWhole,
  markStored,
  NOTHING_JOINED,
  restoreGroup,
  type ArrivedPart,
  type PartGroup,
} from './joining.ts'

/** What joining needs. */
export interface LongTextsOptions {
  /** How long a part may wait for the rest before it is confirmed. */
  readonly holdMs: number
  /** How long an incomplete text is kept. */
  readonly keepMs: number
  readonly elapsedMs: () => number
  /** Stores a whole text, or one that is torn for good. */
  readonly store: (group: PartGroup) => Promise<void>
  readonly onFault: (error: unknown) => void
}

interface Held {
  readonly key: string
  readonly release: (stored: Promise<void>) => void
}

/** The incoming texts that are not whole yet. */
export class LongTexts {
  readonly #options: LongTextsOptions
  readonly #held = new Set<Held>()
  readonly #storing = new Map<string, Promise<void>>()
  readonly #sweep: NodeJS.Timeout
  #joining = NOTHING_JOINED

  constructor(options: LongTextsOptions) {
    this.#options = options
    this.#sweep = setInterval(() => void this.#expire(options.keepMs), options.keepMs / 10).unref()
  }

  /** Takes a part; resolves when it may be confirmed, rejects when its text could not be stored. */
  async take(part: ArrivedPart): Promise<void> {
    const { joining, group, torn } = addPart(this.#joining, part, this.#options.elapsedMs())
    this.#joining = joining
    if (torn !== null) await this.#options.store(torn).catch(this.#options.onFault)
    const key = groupKey(part)
    if (!group.isStored) await (isWhole(group) ? this.#storeWhole(key, group) : this.#hold(key))
  }

  /** Passes on what is still incomplete, as torn, and stops. */
  async close(): Promise<void> {
    clearInterval(this.#sweep)
    await this.#expire(0)
  }

  /** A part that comes again while its text is being stored waits for the same storing. */
  #storeWhole(key: string, group: PartGroup): Promise<void> {
    const storing = this.#storing.get(key) ?? this.#store(key, group).finally(() => this.#storing.delete(key))
    this.#storing.set(key, storing)
    for (const held of this.#held) if (held.key === key) held.release(storing)
    return storing
  }

  async #store(key: string, group: PartGroup): Promise<void> {
    await this.#options.store(group)
    this.#joining = markStored(this.#joining, key)
  }

  #hold(key: string): Promise<void> {
    return new Promise((confirm, refuse) => {
      const held: Held = {
        key,
        release: (stored) => {
          clearTimeout(timer)
          this.#held.delete(held)
          stored.then(confirm, refuse)
        },
      }
      const timer = setTimeout(held.release, this.#options.holdMs, Promise.resolve())
      this.#held.add(held)
    })
  }

  /** What could not be stored even as torn is kept for another while. */
  async #expire(olderThanMs: number): Promise<void> {
    const now = this.#options.elapsedMs()
    const { joining, torn } = expireParts(this.#joining, now - olderThanMs)
    this.#joining = joining
    for (const group of torn) {
      await this.#options.store(group).catch((error: unknown) => {
        this.#options.onFault(error)
        this.#joining = restoreGroup(this.#joining, group, now)
      })
    }
  }
}
