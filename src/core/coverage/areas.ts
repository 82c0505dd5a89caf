/** Areas above villages: a tree of any depth, which may be drawn anew from a day on. */
import type { Day } from '../days/day.ts'
import { dayOf } from '../days/day.ts'
import { ALL_VILLAGES } from './coverage-rows.ts'
import type { ReportWindow } from './report-window.ts'

/** Under this name stands what no area of the asked level holds. */
export const NO_AREA = 'NONE'

export interface Area {
  readonly name: string
  /** The area it is a part of; `null` at the top. */
  readonly parent: string | null
}

/** How a district is divided. */
export interface AreaShape {
  readonly areas: readonly Area[]
  /** The area of each village, by the village's identifier. */
  readonly areaOf: Readonly<Record<string, string>>
}

/** A shape and the day from which it holds; the first one holds for every day before it too. */
export interface DatedShape extends AreaShape {
  readonly fromOn: Day
}

/** Whether doses count where their village stood when they were given, or where it stands today. */
export type ShapeShown = 'then' | 'now'

/** Why areas make no tree; `undefined` when they do. */
export function treeProblem(areas: readonly Area[]): string | undefined {
  const names = areas.map(({ name }) => name)
  const twice = names.find((name, place) => names.indexOf(name) !== place)
  if (twice !== undefined) return `The area ${twice} stands twice; give each area a name of its own.`
  const reserved = names.find((name) => name === ALL_VILLAGES || name === NO_AREA)
  if (reserved !== undefined) return `No area can be called ${reserved}: reports use the word.`
  const stray = areas.find(({ parent }) => parent !== null && !names.includes(parent))
  if (stray !== undefined)
    return `The area ${stray.name} is said to be part of ${stray.parent ?? ''}, which is no area here.`
  const circling = areas.find(({ name }) => wayTo(areas, name).length > areas.length)
  return circling === undefined ? undefined : `The area ${circling.name} is a part of itself.`
}

/** From the area at the top down to the named one; one longer than there are areas goes in a circle. */
function wayTo(areas: readonly Area[], name: string | null | undefined): readonly string[] {
  const way: string[] = []
  for (let at = name; at != null && way.length <= areas.length;) {
    const here: string = at
    way.unshift(here)
    at = areas.find((area) => area.name === here)?.parent
  }
  return way
}

/** The areas a village lies in, the topmost first; none where it has no area. */
export function areasAbove({ areas, areaOf }: AreaShape, villageId: string): readonly string[] {
  return wayTo(areas, areaOf[villageId])
}

/** An area in the order of the tree; `level` 1 is the top. */
export interface AreaInTree {
  readonly name: string
  readonly level: number
}

/** Every area, each followed by its parts; areas of one parent by name (code point order). */
export function areasInTree(areas: readonly Area[], under: string | null = null, level = 1): AreaInTree[] {
  return areas
    .filter(({ parent }) => parent === under)
    .toSorted((one, other) => (one.name < other.name ? -1 : 1))
    .flatMap(({ name }) => [{ name, level }, ...areasInTree(areas, name, level + 1)])
}

/** True where two shapes divide a district alike, in whatever order they tell it. */
export function isSameShape(one: AreaShape, other: AreaShape): boolean {
  const told = ({ areas, areaOf }: AreaShape): string => {
    const lines = [...areas.map(({ name, parent }) => [name, parent]), [], ...Object.entries(areaOf)]
    return JSON.stringify(lines.map((line) => JSON.stringify(line)).toSorted())
  }
  return told(one) === told(other)
}

/** The shape that held on a day. `shapes` are in order of their days. */
export function shapeOn(shapes: readonly DatedShape[], day: Day): DatedShape | undefined {
  return shapes.findLast(({ fromOn }) => fromOn <= day) ?? shapes[0]
}

/** A part of a window in which one shape held. */
export interface ShapedWindow {
  readonly window: ReportWindow
  readonly shape: DatedShape
}

/**
 * Parts a window at the days on which the shape changed. `now` has one part, in the shape of today. A birth cohort stands in
 * the shape of the last day of its year; the whole register, which has no days, in the shape of today.
 */
export function shapedWindows(
  window: ReportWindow,
  shapes: readonly DatedShape[],
  { shown, today }: { readonly shown: ShapeShown; readonly today: Day },
): readonly ShapedWindow[] {
  if (shown === 'now' || window.kind !== 'period') {
    const isOfItsYear = shown === 'then' && window.kind === 'cohort'
    const day = isOfItsYear ? (dayOf(window.birthYear, 12, 31) ?? today) : today
    const shape = shapeOn(shapes, day < today ? day : today)
    return shape === undefined ? [] : [{ window, shape }]
  }
  const { fromOn, toOn } = window
  const changes = shapes.map((shape) => shape.fromOn).filter((on) => on > fromOn && on <= toOn)
  return [fromOn, ...changes].flatMap((from, place, starts) => {
    const next = starts[place + 1]
    const to = next === undefined ? toOn : ((next - 1) as Day)
    const shape = shapeOn(shapes, from)
    return shape === undefined ? [] : [{ window: { kind: 'period', fromOn: from, toOn: to }, shape }]
  })
}
