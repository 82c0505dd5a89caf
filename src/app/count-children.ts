import { coverageFacts } from '../core/coverage/coverage-fact.ts'
import type { CountedDose, DoseFact } from '../core/coverage/coverage-fact.ts'
import { doseSheet } from '../core/coverage/dose-sheet.ts'
import type { DoseSheet } from '../core/coverage/dose-sheet.ts'
import { tallyChange } from '../core/coverage/tally.ts'
import type { CountedFacts } from '../core/coverage/tally.ts'
import type { Child, Dose } from '../core/model.ts'
import type { Schedule } from '../core/schedule/schedule.ts'
import type { Forecast } from '../core/schedule/forecast-types.ts'
import { putCounted, readCounted } from '../store/coverage.ts'
import type { Transaction } from '../store/database.ts'
import type { Shelf } from './shelf.ts'

/** A child and what the schedule makes of its doses. */
export interface JudgedChild {
  readonly child: Child
  /** Doses on record, withdrawn ones left out. */
  readonly living: readonly Dose[]
  /** The forecast over the routine ones among them, in the same order. */
  readonly outlook: Pick<Forecast, 'given' | 'complete'>
}

/** The doses a district's coverage is counted by. */
export function sheetOf(shelf: Pick<Shelf, 'indicators'>, schedule: Schedule): DoseSheet {
  return doseSheet(schedule, shelf.indicators.lateFrom)
}

/**
 * Brings what is counted of these children to their present record, and the sums along with it.
 * Called in the transaction that changed them; the same record counted again changes nothing.
 */
export async function countChildren(
  tx: Transaction,
  sheet: DoseSheet,
  judged: readonly JudgedChild[],
): Promise<void> {
  const before = await readCounted(
    tx,
    judged.map(({ child }) => child.id),
  )
  const now = judged.map((one): [string, CountedFacts] => [one.child.id, factsNow(one, sheet)])
  const changed = new Map(now.filter(([id, facts]) => !isSame(before.get(id), facts)))
  if (changed.size === 0) return
  const old = [...changed.keys()].map((id) => before.get(id)).filter((facts) => facts !== undefined)
  await putCounted(tx, changed, tallyChange(old, changed.values()))
}

function isSame(before: CountedFacts | undefined, now: CountedFacts): boolean {
  if (before === undefined) return false
  const said = ({ child: { village, sex, birthOn, isInCohort }, facts }: CountedFacts): string =>
    JSON.stringify([village, sex, birthOn, isInCohort, facts.map(factText).sort()])
  return said(before) === said(now)
}

function factText({ delivery, series, dose, crudeOn, validOn, isTimely }: DoseFact): string {
  return JSON.stringify([delivery, series, dose, crudeOn, validOn, isTimely])
}

function factsNow({ child, living, outlook }: JudgedChild, sheet: DoseSheet): CountedFacts {
  const { villageId: village, sex, birthOn, status } = child
  const isInCohort = status !== 'died' && status !== 'moved' && status !== 'duplicate'
  const counted = { village, sex, birthOn, isInCohort }
  if (status === 'duplicate') return { child: counted, facts: [] }
  const record = { doses: countedDoses(living, outlook), complete: outlook.complete }
  return { child: counted, facts: coverageFacts(counted, record, sheet) }
}

function countedDoses(living: readonly Dose[], { given }: Pick<Forecast, 'given'>): readonly CountedDose[] {
  const routine = given.map((judged) => ({ ...judged, delivery: 'routine' as const }))
  const campaign = living
    .filter((dose) => dose.delivery === 'campaign')
    .map(({ vaccine, givenOn }) => ({ vaccine, on: givenOn, delivery: 'campaign' as const, counts: [] }))
  return [...routine, ...campaign]
}
