import { z } from 'zod'
import type { ExposedDose } from '../app/vials/exposed-doses.ts'
import { formatMinute } from '../core/days/clock-time.ts'
import { formatDay } from '../core/days/day.ts'
import { dayOut, id, timeOut } from './shapes.ts'

/** A dose from a vial, as an investigator asks for it. */
export const exposedDoseShape = z
  .object({
    doseId: id,
    childId: id,
    cardNumber: z.string(),
    village: z.string(),
    vaccine: z.string(),
    vialNumber: z.int(),
    givenOn: dayOut,
    givenTime: timeOut.nullable().describe('The hour, where it was told, on the clock of the district.'),
    givenBy: timeOut
      .nullable()
      .describe('Where no hour was told: when the report of the same day came; it was given by then.'),
    post: z.string().nullable(),
    recordedBy: z.string(),
    worker: z.string().describe('Name of who recorded it.'),
    numbers: z.array(z.string()).readonly().describe('Phones of the family.'),
  })
  .meta({ id: 'ExposedDose' })

export function exposedDoseJson({ hour, ...dose }: ExposedDose): z.input<typeof exposedDoseShape> {
  const time = hour === null ? null : formatMinute(hour.minute)
  const { doseId, childId, cardNumber, village, vaccine, vialNumber, post, recordedBy, worker, numbers } =
    dose
  const known = {
    doseId,
    childId,
    cardNumber,
    village,
    vaccine,
    vialNumber,
    post,
    recordedBy,
    worker,
    numbers,
  }
  return {
    ...known,
    givenOn: formatDay(dose.givenOn),
    givenTime: hour?.isStated === true ? time : null,
    givenBy: hour?.isStated === false ? time : null,
  }
}
