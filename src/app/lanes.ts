import type { LaneNumbers } from '../store/reminders.ts'
import type { Gateway, Lane } from './ports.ts'

/** Taken for a gateway that does not say how many texts it is worth giving at once, nor how long it may take. */
const AT_ONCE = 200
const ANSWERS_WITHIN_MS = 10_000
/** What is left for storing the answer. */
const MARGIN_MS = 10_000

/** The lanes of a gateway; one that is not divided is one lane for every number. */
export function lanesOf(gateway: Gateway): readonly Lane[] {
  if (gateway.members !== undefined) {
    return gateway.members.flatMap((member) =>
      lanesOf(member.gateway).map((lane) => ({ ...lane, prefixes: member.prefixes })),
    )
  }
  const { name, isIdempotent, atOnce = AT_ONCE, answersWithinMs = ANSWERS_WITHIN_MS } = gateway
  return [
    { name, prefixes: [''], isIdempotent, atOnce, answersWithinMs, isUp: () => gateway.isUp?.() ?? true },
  ]
}

/** A gateway whose links are held by other processes: they know whether a lane is up. */
export function asIfUp(gateway: Gateway): Gateway {
  const members = gateway.members?.map((member) => ({ ...member, gateway: asIfUp(member.gateway) }))
  return { ...gateway, isUp: () => true, ...(members === undefined ? {} : { members }) }
}

/** The lane of a number: the one with the longest prefix that fits; a number that fits none is refused in the first. */
export function laneFor(lanes: readonly Lane[], number: string): Lane {
  const [first] = lanes
  if (first === undefined) throw new Error('a gateway has at least one lane')
  const best = lanes
    .flatMap((lane) => lane.prefixes.map((prefix) => ({ lane, prefix })))
    .filter(({ prefix }) => number.startsWith(prefix))
    .reduce<{ lane: Lane; length: number }>(
      (longest, { lane, prefix }) =>
        prefix.length > longest.length ? { lane, length: prefix.length } : longest,
      { lane: first, length: -1 },
    )
  return best.lane
}

/** How long a worker may take for a text of so many parts before another may look after it. */
export function leaseMs({ answersWithinMs }: Lane, parts: number): number {
  return answersWithinMs * parts + MARGIN_MS
}

/** The numbers of a lane, as the store asks for them. */
export function numbersOf(lane: Lane, lanes: readonly Lane[]): LaneNumbers {
  const others = lanes.filter((other) => other !== lane).flatMap((other) => other.prefixes)
  // What no prefix fits is refused in the first lane.
  const prefixes = lane === lanes[0] && !others.includes('') ? [...lane.prefixes, ''] : lane.prefixes
  return { prefixes, otherPrefixes: others }
}
