import type { DoseName } from '../coverage/dose-sheet.ts'
import type { SheetDose } from '../coverage/dose-sheet.ts'
import type { ReminderPolicy } from '../reminders/policy.ts'
import { inventChild } from './invent-child.ts'
import { liveChild } from './live-child.ts'
import { openTextPlanner } from './plan-texts.ts'
import type { SimulatedDistrict } from './simulated-district.ts'
import { addLife, emptyTally } from './tally.ts'
import type { Tally } from './tally.ts'

/** A way of reminding that is tried out; null reminds nobody. */
export interface TriedPolicy {
  readonly name: string
  readonly policy: ReminderPolicy | null
}

export interface SimulatedPolicy {
  readonly name: string
  readonly tally: Tally
}

export interface Simulation {
  readonly district: SimulatedDistrict
  readonly shown: SheetDose
  /** The first dose of the same series: who had it and not the other dropped out. */
  readonly first: SheetDose
  /** In the order asked for. */
  readonly policies: readonly SimulatedPolicy[]
}

export interface SimulationPlan {
  readonly children: number
  readonly policies: readonly TriedPolicy[]
  /** The dose whose curve is drawn, and from whose series dropout is counted. */
  readonly shown: DoseName
}

/**
 * Plays the same children under each policy. Nothing is left to anything but the seed: the same plan gives the same
 * figures. @throws {RangeError} where the schedule does not have the dose to show
 */
export function simulate(
  district: SimulatedDistrict,
  { children, policies, shown }: SimulationPlan,
): Simulation {
  const row = doseNamed(district, shown)
  const first = doseNamed(district, { ...shown, dose: 1 })
  const arms = policies.map(({ name, policy }) => ({
    name,
    planner: policy === null ? null : openTextPlanner(policy, district.schedule.id),
    tally: emptyTally(district),
  }))
  for (let place = 0; place < children; place += 1) {
    const child = inventChild(district, place)
    for (const { planner, tally } of arms) addLife(tally, district, liveChild(district, child, planner), row)
  }
  return { district, shown: row, first, policies: arms.map(({ name, tally }) => ({ name, tally })) }
}

function doseNamed({ sheet }: SimulatedDistrict, { series, dose }: DoseName): SheetDose {
  const found = sheet.doses.find((one) => series.includes(one.series) && one.dose === dose)
  if (found === undefined) throw new RangeError(`the schedule has no dose ${dose} of ${series.join(', ')}`)
  return found
}
