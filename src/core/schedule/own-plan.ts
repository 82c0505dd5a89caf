import type { OwnPlan } from '../model.ts'
import type { PutOff } from './forecast-types.ts'
import type { Schedule } from './schedule.ts'

/** What a clinician may decide for one child. */
export type Decision =
  | ({ readonly kind: 'put-off' } & PutOff)
  /** `risk`: a fact that rules of the schedule ask for. */
  | { readonly kind: 'risk'; readonly risk: string }

/** What several decisions come to; of two days for one vaccine the later counts. */
export function planOf(decisions: readonly Decision[]): OwnPlan {
  const putOff = new Map<string, PutOff>()
  const risks = new Set<string>()
  for (const decision of decisions) {
    if (decision.kind === 'risk') risks.add(decision.risk)
    else if ((putOff.get(decision.vaccine)?.until ?? -Infinity) < decision.until)
      putOff.set(decision.vaccine, { vaccine: decision.vaccine, until: decision.until })
  }
  return { putOff: [...putOff.values()], risks: [...risks] }
}

/** The facts of risk that any rule of a schedule asks for. */
export function risksAskedBy({ series }: Pick<Schedule, 'series'>): ReadonlySet<string> {
  const asked = series.flatMap(({ onlyFor, outside, variants }) => [
    onlyFor,
    ...outside.map(({ facts }) => facts),
    ...variants.flatMap(({ when }) => when.map(({ facts }) => facts)),
  ])
  return new Set(asked.flatMap((facts) => facts?.flag ?? []))
}

/** The vaccines that the rules of a schedule ask for. */
export function vaccinesAskedBy({ series }: Pick<Schedule, 'series'>): ReadonlySet<string> {
  const rules = series.flatMap(({ doses, variants }) => [...doses, ...variants.flatMap((each) => each.doses)])
  return new Set(rules.map(({ give }) => give.code))
}
