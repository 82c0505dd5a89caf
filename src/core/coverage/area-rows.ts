/** Coverage by area: each adds up its villages and those of its parts. */
import type { CountedDose, CoverageRow, VillageCounts } from './coverage-rows.ts'
import { ALL_VILLAGES, rowsTogether } from './coverage-rows.ts'
import type { AreaInTree, AreaShape } from './areas.ts'
import { NO_AREA, areasAbove, areasInTree } from './areas.ts'

export interface AreaRow extends Omit<CoverageRow, 'village'> {
  readonly area: string
  /** 1 at the top; `null` for the rows `NONE` and `ALL`. */
  readonly level: number | null
}

/** The villages as counted while one shape held. */
export interface ShapedCounts {
  readonly shape: AreaShape
  readonly places: readonly (VillageCounts & { readonly id: string })[]
}

export interface AreaWish {
  /** Only areas of this level, which then add up to the whole with `NONE`; `null`: every area, its parts after it. */
  readonly level: number | null
  readonly smallNumberBelow: number
}

/** Rows in the order of the tree, then `NONE` where a village has no such area, then `ALL`. */
export function areaRows(
  parts: readonly ShapedCounts[],
  doses: readonly CountedDose[],
  { level, smallNumberBelow }: AreaWish,
): readonly AreaRow[] {
  const held = placesByArea(parts, level)
  const areas = everyArea(parts, level)
  const none = held.has(NO_AREA) ? [{ name: NO_AREA, level: null }] : []
  const rowsOf = (name: string, own: number | null, places: readonly VillageCounts[]): AreaRow[] =>
    rowsTogether(name, places, { doses, smallNumberBelow }).map(({ village: area, ...row }) => {
      return { area, level: own, ...row }
    })
  const rows = [...areas, ...none].flatMap(({ name, level: own }) => rowsOf(name, own, held.get(name) ?? []))
  const all = parts.flatMap(({ places }) => places)
  return [...rows, ...rowsOf(ALL_VILLAGES, null, all)]
}

function placesByArea(
  parts: readonly ShapedCounts[],
  level: number | null,
): ReadonlyMap<string, readonly VillageCounts[]> {
  const held = new Map<string, VillageCounts[]>()
  for (const { shape, places } of parts)
    for (const place of places)
      for (const area of areasOf(areasAbove(shape, place.id), level))
        held.set(area, [...(held.get(area) ?? []), place])
  return held
}

function areasOf(above: readonly string[], level: number | null): readonly string[] {
  if (level !== null) return [above[level - 1] ?? NO_AREA]
  return above.length === 0 ? [NO_AREA] : above
}

/** The areas of the newest shape, then those that only an older one had; of one level, also where an area had another. */
function everyArea(parts: readonly ShapedCounts[], wanted: number | null): readonly AreaInTree[] {
  const all = parts
    .toReversed()
    .flatMap(({ shape }) => areasInTree(shape.areas))
    .filter(({ level }) => wanted === null || level === wanted)
  return all.filter(({ name }, place) => all.findIndex((other) => other.name === name) === place)
}
