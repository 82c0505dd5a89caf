/**
 * Long texts come in parts: out of order, twice, or not at all. This is the state of those still incomplete, as
 * plain values: every function gives the next state.
 */
import type { Shift } from '../../core/texts/gsm7.ts'

/** One part of a long text. */
export interface ArrivedPart {
  readonly from: string
  readonly to: string
  /** The number that joins, and where it stood: parts of one text have the same. */
  readonly reference: string
  readonly total: number
  /** 1 to `total`. */
  readonly number: number
  readonly dataCoding: number
  readonly shift: Shift
  readonly octets: Buffer
}

/** The parts of one text that have come. */
export interface PartGroup {
  /** By their number. */
  readonly parts: ReadonlyMap<number, ArrivedPart>
  readonly total: number
  /** When the first part came, in milliseconds. */
  readonly since: number
  /** True once the whole text was stored: what comes again is known. */
  readonly isStored: boolean
}

/** All texts being joined, by group. */
export type Joining = ReadonlyMap<string, PartGroup>

/** What a part led to. */
export interface Joined {
  readonly joining: Joining
  /** The group with this part in it. */
  readonly group: PartGroup
  /** The group it replaces: its reference came round again before it was whole. */
  readonly torn: PartGroup | null
}

/** Nothing being joined. */
export const NOTHING_JOINED: Joining = new Map()

/** The key under which a part's group is kept: a reference with another total is another text. */
export function groupKey({ from, to, reference, total }: ArrivedPart): string {
  return [from, to, reference, total].join('/')
}

/** Adds a part. The same part again changes nothing; another one in its place begins a new text. */
export function addPart(joining: Joining, part: ArrivedPart, now: number): Joined {
  const key = groupKey(part)
  const known = joining.get(key)
  const isAnother = known?.parts.get(part.number)?.octets.equals(part.octets) === false
  const begun = { parts: new Map(), total: part.total, since: now, isStored: false }
  const base: PartGroup = isAnother ? begun : (known ?? begun)
  const group = { ...base, parts: new Map(base.parts).set(part.number, part) }
  const torn = isAnother && !known.isStored ? known : null
  return { joining: new Map(joining).set(key, group), group, torn }
}

/** Whether every part has come. */
export function isWhole({ parts, total }: PartGroup): boolean {
  return parts.size === total
}

/** The parts that have come, in order. */
export function partsInOrder({ parts }: PartGroup): ArrivedPart[] {
  return [...parts.values()].sort((a, b) => a.number - b.number)
}

/** Notes that a text was stored, so that its parts are known when they come again. */
export function markStored(joining: Joining, key: string): Joining {
  const group = joining.get(key)
  return group === undefined ? joining : new Map(joining).set(key, { ...group, isStored: true })
}

/** Drops what began up to an instant; `torn` are the texts that never became whole. */
export function expireParts(
  joining: Joining,
  until: number,
): { joining: Joining; torn: readonly PartGroup[] } {
  const groups = [...joining.values()].filter((group) => group.since <= until)
  const kept = [...joining].filter(([, group]) => group.since > until)
  return { joining: new Map(kept), torn: groups.filter((group) => !group.isStored) }
}

/** Takes a dropped group back, as if it had begun now; a newer one with its key stays. */
export function restoreGroup(joining: Joining, group: PartGroup, now: number): Joining {
  const [part] = partsInOrder(group)
  if (part === undefined || joining.has(groupKey(part))) return joining
  return new Map(joining).set(groupKey(part), { ...group, since: now })
}
