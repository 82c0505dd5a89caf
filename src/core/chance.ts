/** Chance that is the same in every run: a small generator with a seed (T. Ettinger's mulberry32, public domain). */
export interface Chance {
  /** Uniform in [0, 1). */
  readonly next: () => number
  /** True with a probability. */
  readonly isLucky: (probability: number) => boolean
  /** One of several. */
  readonly pick: <T>(from: readonly T[]) => T
}

export function seededChance(seed: number): Chance {
  let state = seed >>> 0
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = state
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32
  }
  return {
    next,
    isLucky: (probability) => next() < probability,
    pick: (from) => {
      const picked = from[Math.floor(next() * from.length)]
      if (picked === undefined) throw new RangeError('nothing to pick from')
      return picked
    },
  }
}
