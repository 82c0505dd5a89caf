/** Work that was begun and must end before its owner closes. */
export interface UnderWay {
  /** Counts the work in until it settles; hands it back unchanged. */
  readonly add: <T>(work: Promise<T>) => Promise<T>
  /** Resolves when nothing is left, also nothing begun meanwhile; how the work ended is its owner's matter. */
  readonly settled: () => Promise<void>
}

/** Starts an empty tally of work under way. */
export function underWay(): UnderWay {
  const pending = new Set<Promise<unknown>>()
  return {
    add(work) {
      pending.add(work)
      const drop = (): void => void pending.delete(work)
      work.then(drop, drop)
      return work
    },
    async settled() {
      while (pending.size > 0) await Promise.allSettled(pending)
    },
  }
}
