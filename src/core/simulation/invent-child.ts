import { seededChance } from '../chance.ts'
import type { Chance } from '../chance.ts'
import { addDays } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { Sex } from '../model.ts'
import type { SimulatedDistrict } from './simulated-district.ts'

/** A child as chance made it; the same under every policy, so that only the policy differs. */
export interface InventedChild {
  readonly place: number
  readonly birthOn: Day
  readonly enrolledOn: Day
  readonly sex: Sex
  readonly hasPhone: boolean
  /** The chance that the family comes to its next visit without having had a text. */
  readonly comes: number
  /** The village the family lives in from a day on, the first of them from birth. */
  readonly homes: readonly { readonly from: Day; readonly village: number }[]
  /** The day the family leaves the district for good; null where it stays. */
  readonly leavesOn: Day | null
}

const DAYS_A_YEAR = 365.25

/** Makes the n-th child of a district; births are spread evenly over its months. */
export function inventChild(district: SimulatedDistrict, place: number): InventedChild {
  const { assumptions, startOn, endOn, villages } = district
  const chance = chanceOf(district, place, 'child')
  const birthOn = addDays(startOn, Math.floor(chance.next() * (endOn - startOn + 1)))
  const home = Math.floor(chance.next() * villages.length)
  const sex = chance.isLucky(0.5) ? 'female' : 'male'
  const hasPhone = chance.isLucky(assumptions.phoneShare)
  const comes = chance.isLucky(assumptions.neverComeShare) ? 0 : assumptions.comes
  const enrolledOn = addDays(birthOn, Math.floor(chance.next() * (assumptions.enrolledWithinDays + 1)))
  const leavesOn = waitedFor(birthOn, assumptions.leavesPerYear, chance)
  const movesOn = waitedFor(birthOn, assumptions.movesVillagePerYear, chance)
  const next = Math.floor(chance.next() * villages.length)
  const homes = [{ from: birthOn, village: home }]
  if (movesOn !== null) homes.push({ from: movesOn, village: next })
  return { place, birthOn, enrolledOn, sex, hasPhone, comes, homes, leavesOn }
}

/** The day of something that happens to a share of families each year; null: later than anyone looks. */
function waitedFor(from: Day, perYear: number, { next }: Chance): Day | null {
  const years = Math.log(1 - next()) / Math.log(1 - perYear)
  return Number.isFinite(years) && years < 20 ? addDays(from, 1 + Math.floor(years * DAYS_A_YEAR)) : null
}

const STREAMS = { child: 1, visits: 2, texts: 3, reports: 4 } as const

/** Each matter has a chance of its own, so that one more text does not change who comes. */
export function chanceOf({ seed }: SimulatedDistrict, place: number, matter: keyof typeof STREAMS): Chance {
  // The golden ratio in 32 bits spreads neighbours far apart (Knuth, TAOCP 3, 6.4: Fibonacci hashing).
  return seededChance(
    Math.imul(place * 8 + STREAMS[matter], 0x9e_37_79_b1) ^ Math.imul(seed + 1, 0x85_eb_ca_6b),
  )
}
