import type { Chance } from '../chance.ts'
import { cardNumberOf } from '../children/card-serial.ts'
import type { Day } from '../days/day.ts'
import { isReadProblem } from '../reading/act.ts'
import { read } from '../reading/read.ts'
import { write } from '../reading/write.ts'
import type { GivenDose } from '../schedule/forecast-types.ts'
import type { SimulatedDistrict } from './simulated-district.ts'

/** What came of telling the register about a visit. */
export interface ToldVisit {
  /** The doses it now holds from that visit; empty where no report was understood. */
  readonly recorded: readonly GivenDose[]
  /** Texts the vaccinator sent. */
  readonly reports: number
  /** Of those, how many were read and found wrong, with a reply that says so. */
  readonly refused: number
  /** True where a slip was taken for something else that can be said. */
  readonly isMisread: boolean
}

export interface VisitReport {
  readonly place: number
  readonly on: Day
  readonly vaccines: readonly string[]
}

/** A vaccinator gives up after so many tries. */
const MOST_REPORTS = 3

/** Texts a visit to the register; slips of the thumb are read by the same reader that reads real texts. */
export function reportVisit(district: SimulatedDistrict, visit: VisitReport, chance: Chance): ToldVisit {
  const { assumptions } = district
  let refused = 0
  for (let reports = 1; ; reports += 1) {
    const arrives = !chance.isLucky(assumptions.reportLost)
    const isMistyped = chance.isLucky(assumptions.reportMistyped)
    const recorded = !arrives ? null : isMistyped ? readSlip(district, visit, chance) : asMeant(visit)
    if (arrives && recorded === null) refused += 1
    if (recorded !== null) return { recorded, reports, refused, isMisread: isMisread(recorded, visit) }
    if (reports === MOST_REPORTS || !chance.isLucky(assumptions.reportSentAgain))
      return { recorded: [], reports, refused, isMisread: false }
  }
}

function asMeant({ on, vaccines }: VisitReport): GivenDose[] {
  return vaccines.map((vaccine) => ({ vaccine, on }))
}

/** What the register takes from a text with a slip; null where it says what is wrong instead. */
function readSlip(
  { reading, keywords }: SimulatedDistrict,
  { place, on, vaccines }: VisitReport,
  chance: Chance,
): GivenDose[] | null {
  const card = cardNumberOf(place)
  const meant = { act: 'record-doses', card, vaccines, typed: [], all: false, date: on, vial: null } as const
  const act = read(withSlip(write(meant, keywords), chance), { ...reading, on })
  // A card that is nobody's is refused; the check digit leaves no other child's card within one slip.
  if (isReadProblem(act) || act.act !== 'record-doses' || act.card !== card || act.all) return null
  return act.vaccines.map((vaccine) => ({ vaccine, on: act.date }))
}

function isMisread(recorded: readonly GivenDose[], { on, vaccines }: VisitReport): boolean {
  return (
    recorded.length !== vaccines.length ||
    recorded.some((dose) => dose.on !== on || !vaccines.includes(dose.vaccine))
  )
}

const KEYS = Array.from('abcdefghijklmnopqrstuvwxyz0123456789')

/** One character lost, doubled, swapped with its neighbour or replaced. */
function withSlip(text: string, chance: Chance): string {
  const at = Math.floor(chance.next() * (text.length - 1))
  const [here, next] = [text.charAt(at), text.charAt(at + 1)]
  const slip = chance.pick([next, here + here + next, next + here, chance.pick(KEYS) + next])
  return text.slice(0, at) + slip + text.slice(at + 2)
}
