/** How a district was divided into areas, from which day on. */
import { z } from 'zod'
import type { AreaShape, DatedShape } from '../core/coverage/areas.ts'
import type { Db } from './database.ts'
import { fromDate, toDate } from './days.ts'

const shapeColumn = z.object({
  areas: z.array(z.object({ name: z.string(), parent: z.string().nullable() })),
  areaOf: z.record(z.string(), z.string()),
}) satisfies z.ZodType<AreaShape>

/** The shapes of a district, oldest first. */
export async function listShapes(db: Db, districtId: string): Promise<DatedShape[]> {
  const rows = await db.areaShape.findMany({ where: { districtId }, orderBy: { fromOn: 'asc' } })
  return rows.map(({ fromOn, shape }) => ({ fromOn: fromDate(fromOn), ...shapeColumn.parse(shape) }))
}

/** Draws the areas of a district from a day on; a shape of the same day is replaced. */
export async function putShape(
  db: Db,
  districtId: string,
  { fromOn, areas, areaOf }: DatedShape,
): Promise<void> {
  const key = { districtId, fromOn: toDate(fromOn) }
  const shape = { areas: areas.map(({ name, parent }) => ({ name, parent })), areaOf: { ...areaOf } }
  await db.areaShape.upsert({
    where: { districtId_fromOn: key },
    create: { ...key, shape },
    update: { shape },
  })
}
