/** A place with its position in degrees (WGS 84); `null` where nobody stated one. */
export interface Stop {
  readonly latitude: number | null
  readonly longitude: number | null
}

type Placed<S extends Stop> = S & { readonly latitude: number; readonly longitude: number }

/** Mean radius of the earth (IUGG, 1980). */
const EARTH_KM = 6371.0088
const RADIANS = Math.PI / 180

/** The shortest way over the earth between two positions, in kilometres (haversine formula). */
export function kilometresBetween(one: Placed<Stop>, other: Placed<Stop>): number {
  const north = (other.latitude - one.latitude) * RADIANS
  const east = (other.longitude - one.longitude) * RADIANS
  const across = Math.cos(one.latitude * RADIANS) * Math.cos(other.latitude * RADIANS)
  const chord = Math.sin(north / 2) ** 2 + across * Math.sin(east / 2) ** 2
  return 2 * EARTH_KM * Math.asin(Math.min(1, Math.sqrt(chord)))
}

/**
 * Places in an order to walk or ride: from the first one given to the nearest not yet seen, and so on. Good enough to
 * plan a day by, not the shortest round there is. Places without a position come last, in the order given.
 */
export function walkingRound<S extends Stop>(stops: readonly S[]): readonly S[] {
  const left = stops.filter(isPlaced)
  const round: Placed<S>[] = []
  for (let next = left.shift(); next !== undefined; next = nearest(left, next)) round.push(next)
  return [...round, ...stops.filter((stop) => !isPlaced(stop))]
}

/** Takes the place nearest to another out of a list. */
function nearest<S extends Stop>(left: Placed<S>[], from: Placed<S>): Placed<S> | undefined {
  const distances = left.map((stop) => kilometresBetween(from, stop))
  return left.splice(distances.indexOf(Math.min(...distances)), 1)[0]
}

function isPlaced<S extends Stop>(stop: S): stop is Placed<S> {
  return stop.latitude !== null && stop.longitude !== null
}
