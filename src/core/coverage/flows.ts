/** Doses given in one place to children of another. */
export interface DosePlace {
  readonly village: string
  /** The post that serves the village. */
  readonly homePost: string
  /** The post that gave the doses; `null` when nobody said. */
  readonly givenPost: string | null
  /** True for doses given outside the district and copied from a card. */
  readonly isElsewhere: boolean
  readonly doses: number
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

export interface DoseFlows {
  readonly villages: readonly VillageFlow[]
  readonly posts: readonly PostFlow[]
}

type Place = Exclude<keyof VillageFlow, 'village'>

/** How many doses cross the lines between villages and posts; villages and posts in order of name. */
export function doseFlows(places: readonly DosePlace[]): DoseFlows {
  const villages = new Map<string, Record<Place, number>>()
  const dropIns = new Map<string, number>()
  for (const place of places) {
    const { village, givenPost, doses } = place
    const flow = villages.get(village) ?? { own: 0, out: 0, elsewhere: 0, unknown: 0 }
    const where = whereGiven(place)
    flow[where] += doses
    villages.set(village, flow)
    if (where === 'out' && givenPost !== null) dropIns.set(givenPost, (dropIns.get(givenPost) ?? 0) + doses)
  }
  return {
    villages: sorted(villages).map(([village, flow]) => ({ village, ...flow })),
    posts: sorted(dropIns).map(([post, dropIn]) => ({ post, dropIn })),
  }
}

function whereGiven({ isElsewhere, givenPost, homePost }: DosePlace): Place {
  if (isElsewhere) return 'elsewhere'
  if (givenPost === null) return 'unknown'
  return givenPost === homePost ? 'own' : 'out'
}

const sorted = <Value>(map: ReadonlyMap<string, Value>): [string, Value][] =>
  [...map].sort(([a], [b]) => (a < b ? -1 : 1))
