import type { Appointment, District, Dose, PhoneLine, Village } from '../../core/model.ts'
import { explain } from '../../core/schedule/explain.ts'
import type { Explanation } from '../../core/schedule/explain.ts'
import { childTimeline } from '../../core/schedule/child-timeline.ts'
import { Refusal } from '../../core/refusals.ts'
import type { Db } from '../../store/database.ts'
import { dosesOfChild, findDose } from '../../store/doses.ts'
import { linesOfChild } from '../../store/people.ts'
import { decisionsOf, districtOfChild, reasonsOf, viewAppointments, viewForecast } from '../views.ts'
import type { ClinicalNote, DoseReason, ForecastView } from '../views.ts'
import { villageIn } from './district-scope.ts'
import type { DistrictScope } from './district-scope.ts'

/** Everything a page tells of one child. */
export interface ChildStory extends ForecastView {
  readonly village: Village
  readonly lines: readonly PhoneLine[]
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
export async function proveOwnChild(
  db: Db,
  { id, name }: Pick<District, 'id' | 'name'>,
  childId: string,
): Promise<void> {
  if ((await districtOfChild(db, childId)) !== id)
    throw new Refusal('child-not-found', `${name} has no such child.`)
}

/** The child whose dose it is. @throws {Refusal} dose-not-found, child-not-found, also for one of another district */
export async function proveOwnDose(
  db: Db,
  district: Pick<District, 'id' | 'name'>,
  doseId: string,
): Promise<string> {
  const dose = await findDose(db, doseId)
  if (dose === undefined) throw new Refusal('dose-not-found', `There is no dose ${doseId}.`)
  await proveOwnChild(db, district, dose.childId)
  return dose.childId
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
    decisions: await decisionsOf(db, childId),
    explanation: explain(schedule, facts, forecast),
    reasons: await reasonsOf(db, childId),
    otherDoses: (await dosesOfChild(db, childId)).filter(({ id }) => !counted.has(id)),
    appointments: await viewAppointments(db, childId),
    timeline: childTimeline(schedule, facts, on),
  }
}
