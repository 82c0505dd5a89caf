export interface BatchOptions {
  /** So many at once are enough. */
  readonly atMost: number
  /** The first of a batch waits no longer than this for company. */
  readonly withinMs: number
}

/**
 * Turns work on many into work on each: what is given within a short time is worked on together. All of a batch
 * share its fate.
 */
export function inBatches<Item>(
  work: (items: readonly Item[]) => Promise<void>,
  { atMost, withinMs }: BatchOptions,
): (item: Item) => Promise<void> {
  let items: Item[] = []
  let batch: Promise<void> | undefined
  let close = (): void => undefined

  return (item) => {
    items.push(item)
    batch ??= new Promise<void>((resolve) => {
      const timer = setTimeout(resolve, withinMs)
      close = () => {
        clearTimeout(timer)
        resolve()
      }
    }).then(() => {
      const taken = items
      items = []
      batch = undefined
      return work(taken)
    })
    const mine = batch
    if (items.length >= atMost) close()
    return mine
  }
}
