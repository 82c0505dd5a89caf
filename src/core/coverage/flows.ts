/** Where a dose was given, against where the child lives. */
export interface DosePlace {
  readonly village: string
  /** The post that serves the village. */
  readonly homePost: string
  /** The post that gave the dose; `null` when nobody said. */
  readonly givenPost: string | null
  /** True for a dose given outside the district and copied from a card. */
  readonly isElsewhere: boolean
}

/** Doses of a village's children by place. The four parts add up to all doses of the village. */
export interface VillageFlow {
  readonly village: string
  readonly own: number
  /** Given by another post of the district: the child dropped out of here and in there. */
  readonly out: number
  readonly elsewhere: number
  readonly unknown: number
}

/** Doses a post gave to children of villages that it does not serve. */
export interface PostFlow {
  readonly post: string
  readonly dropIn: number
}

type Place = Exclude<keyof VillageFlow, 'village'>

/** How many doses cross the lines between villages and posts, villages and posts in order of name or id. */
export function doseFlows(doses: readonly DosePlace[]): {
  readonly villages: readonly VillageFlow[]
  readonly posts: readonly PostFlow[]
} {
  const villages = new Map<string, Record<Place, number>>()
  const dropIns = new Map<string, number>()
  for (const dose of doses) {
    const flow = villages.get(dose.village) ?? { own: 0, out: 0, elsewhere: 0, unknown: 0 }
    const place = placeOf(dose)
    flow[place] += 1
    villages.set(dose.village, flow)
    if (place === 'out' && dose.givenPost !== null)
      dropIns.set(dose.givenPost, (dropIns.get(dose.givenPost) ?? 0) + 1)
  }
  return {
    villages: sorted(villages).map(([village, flow]) => ({ village, ...flow })),
    posts: sorted(dropIns).map(([post, dropIn]) => ({ post, dropIn })),
  }
}

function placeOf(dose: DosePlace): Place {
  if (dose.isElsewhere) return 'elsewhere'
  if (dose.givenPost === null) return 'unknown'
  return dose.givenPost === dose.homePost ? 'own' : 'out'
}

const sorted = <Value>(map: ReadonlyMap<string, Value>): [string, Value][] =>
  [...map].sort(([a], [b]) => (a < b ? -1 : 1))
