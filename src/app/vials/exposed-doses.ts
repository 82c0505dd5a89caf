import type { District } from '../../core/model.ts'
import { hourGiven } from '../../core/register/hour-given.ts'
import type { HourGiven } from '../../core/register/hour-given.ts'
import type { Vial } from '../../core/vials/vial.ts'
import type { Db } from '../../store/database.ts'
import { numbersOfChildren } from '../../store/follow-lists.ts'
import { listDosesOfVials } from '../../store/vials.ts'
import type { ExposedChild } from '../../store/vials.ts'

/** A dose from a vial: whose, when, where, by whom, and how to reach the family. */
export interface ExposedDose extends ExposedChild {
  readonly vialNumber: number
  readonly hour: HourGiven | null
  readonly numbers: readonly string[]
}

/** Every dose on record from some vials of a district, in the order in which they were given as far as that is known. */
export async function dosesFrom(
  db: Db,
  { timeZone }: District,
  vials: readonly Vial[],
): Promise<readonly ExposedDose[]> {
  const vialNumbers = new Map(vials.map(({ id, number }) => [id, number]))
  const doses = await listDosesOfVials(db, [...vialNumbers.keys()])
  const phones = await numbersOfChildren(
    db,
    doses.map(({ childId }) => childId),
  )
  return doses.map((dose) => ({
    ...dose,
    vialNumber: vialNumbers.get(dose.vialId) ?? 0,
    hour: hourGiven(dose, timeZone),
    numbers: phones.get(dose.childId) ?? [],
  }))
}
