import { z } from 'zod'
import type { DoseName, LateAge } from './dose-sheet.ts'

const doseName = z.strictObject({
  series: z.array(z.string()).min(1),
  dose: z.int().nonnegative(),
}) satisfies z.ZodType<DoseName>

const namedPairs = z.array(
  z.strictObject({ name: z.string(), source: z.string(), first: doseName, later: doseName }),
)

/** The shape of src/data/indicators/*.json: every line a programme may draw differently. */
export const indicatorSettingsSchema = z.strictObject({
  source: z.string(),
  /** The cut-offs in use, by name; docs/indicators.md says whose they are. */
  cutOffsInUse: z.string(),
  cutOffs: z.record(
    z.string(),
    z.strictObject({
      source: z.string(),
      coveragePercent: z.number().positive(),
      dropoutPercent: z.number().positive(),
    }),
  ),
  /** Denominators under this are shown as "7/8", never as a bare percentage. */
  smallNumberBelow: z.int().positive(),
  /** Published counts of one to this minus one are withheld. */
  publishedCountAtLeast: z.int().min(2),
  outlierDeviations: z.number().positive(),
  /** Limits, in days, of a prompt dose report and of a prompt enrolment. */
  reportWithinDays: z.array(z.int().nonnegative()),
  enrolWithinDays: z.array(z.int().nonnegative()),
  /** What waits for a person for longer stands out. */
  answerWithinDays: z.int().nonnegative(),
  /** A child without the first of these is zero-dose, without the last under-vaccinated. */
  zeroDose: doseName,
  underVaccinated: doseName,
  dropoutPairs: namedPairs,
  /** Doses that belong together on one day, where the schedule has both due at one age. */
  sameDayPairs: namedPairs,
  /** National ages from which a dose is late, in place of the schedule's own. */
  lateFrom: z.array(
    z.strictObject({ ...doseName.shape, months: z.int().positive() }) satisfies z.ZodType<LateAge>,
  ),
})

export type IndicatorSettings = z.infer<typeof indicatorSettingsSchema>
