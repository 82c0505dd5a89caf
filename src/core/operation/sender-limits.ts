import { z } from 'zod'
import { kilometresBetween } from '../places/walking-round.ts'

/** The shape of src/data/senders/limits.json: what one number can be believed to send. */
export const senderLimitsSchema = z.strictObject({
  source: z.string(),
  /** Texts of one number in a minute; those beyond are kept and not read. */
  textsPerMinute: z.int().min(1),
  /** From so many doses of one sender in an hour on a manager is asked to look. */
  dosesPerHour: z.int().min(1),
  /** Villages so far apart, in which one sender gave doses of the day within so short a time. */
  farPlaces: z.strictObject({ kilometres: z.number().positive(), withinMinutes: z.int().min(1).max(60) }),
})

export type SenderLimits = z.infer<typeof senderLimitsSchema>

/** A dose that was reported, and where the child lives. */
export interface ReportedDose {
  readonly reportedAt: Date
  /** True where it was given on the day on which it was reported. */
  readonly isOfTheDay: boolean
  /** Degrees (WGS 84); null where nobody stated them. */
  readonly latitude: number | null
  readonly longitude: number | null
}

/** Why reports can hardly be one person's: so many doses, or a way of so many kilometres. */
export interface OddReports {
  readonly kind: 'many-doses' | 'far-places'
  readonly count: number
}

const MINUTE_MS = 60_000

/** What is odd about the doses that one sender reported in the hour before `now`. */
export function oddReports(doses: readonly ReportedDose[], limits: SenderLimits, now: Date): OddReports[] {
  const { kilometres, withinMinutes } = limits.farPlaces
  const since = now.getTime() - withinMinutes * MINUTE_MS
  const apart = widestWay(doses.filter((dose) => dose.isOfTheDay && dose.reportedAt.getTime() > since))
  return [
    ...(doses.length >= limits.dosesPerHour ? [{ kind: 'many-doses' as const, count: doses.length }] : []),
    ...(apart >= kilometres ? [{ kind: 'far-places' as const, count: Math.round(apart) }] : []),
  ]
}

/** Kilometres between the two places that are farthest apart. */
function widestWay(doses: readonly ReportedDose[]): number {
  const places = new Map(
    doses.flatMap(({ latitude, longitude }) =>
      latitude === null || longitude === null ? [] : [[`${latitude} ${longitude}`, { latitude, longitude }]],
    ),
  )
  const all = [...places.values()]
  return Math.max(0, ...all.flatMap((one) => all.map((other) => kilometresBetween(one, other))))
}
