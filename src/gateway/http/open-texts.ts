import type { Clock, Receipt } from '../../app/ports.ts'

/** The texts whose end is not known yet; each is forgotten at its end or after a time. */
export interface OpenTexts {
  readonly add: (providerIds: readonly string[]) => void
  readonly ids: () => string[]
  /** False when this very state was noted before. */
  readonly isNews: (receipt: Receipt) => boolean
  readonly note: (receipt: Receipt) => void
}

/** Starts with none; a text stays open for at most `forMs`. */
export function openTexts(clock: Clock, forMs: number): OpenTexts {
  const open = new Map<string, { readonly until: number; readonly state: Receipt['state'] | null }>()
  return {
    add(providerIds) {
      const until = clock.now().getTime() + forMs
      for (const id of providerIds) open.set(id, { until, state: null })
    },
    ids() {
      const now = clock.now().getTime()
      for (const [id, { until }] of open) if (until < now) open.delete(id)
      return [...open.keys()]
    },
    isNews: ({ providerId, state }) => open.get(providerId)?.state !== state,
    note({ providerId, state }) {
      const known = open.get(providerId)
      if (state === 'delivered' || state === 'undelivered') open.delete(providerId)
      else if (known !== undefined) open.set(providerId, { ...known, state })
    },
  }
}
