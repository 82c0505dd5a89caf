/** One dose reported twice: which reports are of one dose, and which of them tells most about it. */
import type { Dose } from '../model.ts'

/** What is compared of a dose. */
export type ReportedDose = Pick<
  Dose,
  'id' | 'vaccine' | 'givenOn' | 'isElsewhere' | 'recordedVia' | 'recordedAt' | 'delivery'
>

export interface SameDose<Reported extends ReportedDose = ReportedDose> {
  /** The report that should stay. */
  readonly keep: Reported
  readonly drop: Reported
  readonly because: string
}

/** Pairs of reports of one vaccine so close to each other that they are of one dose, each report in one pair. */
export function sameDoses<Reported extends ReportedDose>(
  doses: readonly Reported[],
  withinDays: number,
): readonly SameDose<Reported>[] {
  const inOrder = [...doses].sort((a, b) => a.givenOn - b.givenOn || (a.id < b.id ? -1 : 1))
  const paired = new Set<string>()
  return inOrder.flatMap((dose, place) => {
    if (paired.has(dose.id)) return []
    const twin = inOrder
      .slice(place + 1)
      .find((other) => !paired.has(other.id) && isOneDose(dose, other, withinDays))
    if (twin === undefined) return []
    paired.add(twin.id)
    return [preferred(dose, twin)]
  })
}

function isOneDose(one: ReportedDose, other: ReportedDose, withinDays: number): boolean {
  const isAlike = one.vaccine === other.vaccine && one.delivery === other.delivery
  return isAlike && Math.abs(one.givenOn - other.givenOn) <= withinDays
}

/** Why one report is better than another, the strongest reason first. */
const PREFERENCES: readonly {
  readonly because: string
  readonly weight: (dose: ReportedDose) => number
}[] = [
  { because: 'reported by the post that gave it', weight: (dose) => (dose.isElsewhere ? 0 : 1) },
  {
    because: 'reported as it was given, not copied from a list',
    weight: (dose) => (dose.recordedVia === 'import' ? 0 : 1),
  },
  { because: 'reported first', weight: (dose) => -dose.recordedAt.getTime() },
]

function preferred<Reported extends ReportedDose>(one: Reported, other: Reported): SameDose<Reported> {
  for (const { because, weight } of PREFERENCES) {
    const [first, second] = [weight(one), weight(other)]
    if (first !== second)
      return first > second ? { keep: one, drop: other, because } : { keep: other, drop: one, because }
  }
  return { keep: one, drop: other, because: 'both say the same' }
}
