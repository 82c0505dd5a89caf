import type { Appointment, Child, Dose, PhoneLine, Village } from '../../core/model.ts'
import { explain } from '../../core/schedule/explain.ts'
import type { Explanation } from '../../core/schedule/explain.ts'
import { childTimeline } from '../../core/schedule/child-timeline.ts'
import { siblingsOf } from '../../store/children.ts'
import { dosesOfChild } from '../../store/doses.ts'
import { linesOfChild } from '../../store/people.ts'
import { viewFamily } from '../family.ts'
import type { Family } from '../family.ts'
import { decisionsOf, reasonsOf, viewAppointments, viewForecast } from '../views.ts'
import type { ClinicalNote, DoseReason, ForecastView } from '../views.ts'
import { villageIn } from './district-scope.ts'
import type { DistrictScope } from './district-scope.ts'
import { proveOwnChild } from './own-child.ts'

/** Everything a page tells of one child. */
export interface ChildStory extends ForecastView {
  readonly village: Village
  readonly lines: readonly PhoneLine[]
  /** Phones and addresses, former ones too. */
  readonly family: Family
  /** Of the same birth, or of the same phone, in this district. */
  readonly siblings: readonly Child[]
  /** What clinicians decided, ended decisions too, the newest first. */
  readonly decisions: readonly ClinicalNote[]
  readonly explanation: Explanation
  /** Why doses were given that do not count, by dose. */
  readonly reasons: ReadonlyMap<string, DoseReason>
  /** Doses that count in no forecast: withdrawn, or of a mass campaign. */
  readonly otherDoses: readonly Dose[]
  /** Newest first. */
  readonly appointments: readonly Appointment[]
  /** The doses over the schedule, as SVG. */
  readonly timeline: string
}

/** @throws {Refusal} child-not-found, also for a child of another district */
export async function childStory(scope: DistrictScope, childId: string): Promise<ChildStory> {
  const { db, deps, district } = scope
  await proveOwnChild(db, district, childId)
  const view = await viewForecast(db, deps, childId, null)
  const { child, schedule, facts, forecast, on, doses } = view
  const counted = new Set(doses.map(({ id }) => id))
  return {
    ...view,
    village: villageIn(scope, child.villageId),
    lines: await linesOfChild(db, childId),
    family: await viewFamily(db, childId),
    siblings: (await siblingsOf(db, child)).filter(({ districtId }) => districtId === district.id),
    decisions: await decisionsOf(db, childId),
    explanation: explain(schedule, facts, forecast),
    reasons: await reasonsOf(db, childId),
    otherDoses: (await dosesOfChild(db, childId)).filter(({ id }) => !counted.has(id)),
    appointments: await viewAppointments(db, childId),
    timeline: childTimeline(schedule, facts, on),
  }
}
