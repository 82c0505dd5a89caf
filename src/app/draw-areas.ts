import { isSameShape, shapeOn, treeProblem } from '../core/coverage/areas.ts'
import type { Area } from '../core/coverage/areas.ts'
import type { Day } from '../core/days/day.ts'
import { Refusal } from '../core/refusals.ts'
import { listShapes, putShape } from '../store/areas.ts'
import type { Transaction } from '../store/database.ts'

/** What a district file says of areas. */
export interface DrawnAreas {
  readonly areas?: readonly Area[] | undefined
  readonly areasFrom?: Day | undefined
  readonly villages: readonly { readonly name: string; readonly area: string | null }[]
}

/**
 * Divides a district into areas from a day on; what is so already is not written again.
 * @throws {Refusal} areas-unfit
 */
export async function drawAreas(
  tx: Transaction,
  where: {
    readonly districtId: string
    readonly villageIds: ReadonlyMap<string, string>
    readonly today: Day
  },
  { areas, areasFrom, villages }: DrawnAreas,
): Promise<void> {
  refuseStrays(areas ?? [], villages)
  if (areas === undefined) return
  const problem = treeProblem(areas)
  if (problem !== undefined) throw new Refusal('areas-unfit', problem)
  const fromOn = areasFrom ?? where.today
  const pairs = villages.flatMap(({ name, area }) =>
    area === null ? [] : [[where.villageIds.get(name) ?? '', area]],
  )
  const drawn = { fromOn, areas, areaOf: Object.fromEntries(pairs) as Record<string, string> }
  const shapes = await listShapes(tx, where.districtId)
  const known = shapes.some((shape) => shape.fromOn <= fromOn) ? shapeOn(shapes, fromOn) : undefined
  if (isSameShape(known ?? { areas: [], areaOf: {} }, drawn)) return
  await putShape(tx, where.districtId, drawn)
}

function refuseStrays(areas: readonly Area[], villages: DrawnAreas['villages']): void {
  const stray = villages.find(({ area }) => area !== null && !areas.some(({ name }) => name === area))
  if (stray === undefined) return
  throw new Refusal(
    'areas-unfit',
    `${stray.name} is said to lie in ${stray.area ?? ''}, which is no area of the file.`,
  )
}
