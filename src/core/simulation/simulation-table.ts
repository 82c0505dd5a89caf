import type { SheetDose } from '../coverage/dose-sheet.ts'
import type { ReminderKind } from '../reminders/policy.ts'
import type { Simulation, SimulatedPolicy } from './simulate.ts'
import type { DoseTally, Tally } from './tally.ts'

/** What texts cost: parts of a usual text of each kind, and the price of one part. */
export interface TextPrices {
  readonly partsOf: Readonly<Record<ReminderKind, number>>
  readonly pricePerPart: number
}

/** One line of the result: a figure for each policy, in their order. */
export interface SimulatedFigure {
  readonly name: string
  readonly unit: 'children' | 'percent' | 'count' | 'money'
  readonly values: readonly (number | null)[]
}

type Measure = readonly [
  name: string,
  unit: SimulatedFigure['unit'],
  of: (policy: SimulatedPolicy) => number | null,
]

/** All figures of a simulation, in reading order. */
export function simulationFigures(simulation: Simulation, prices: TextPrices): SimulatedFigure[] {
  const measures = [
    ...people(),
    ...coverage(simulation),
    ...dropout(simulation),
    ...work(),
    ...messages(simulation, prices),
  ]
  return measures.map(([name, unit, of]) => ({ name, unit, values: simulation.policies.map(of) }))
}

const share = (part: number, whole: number): number | null => (whole === 0 ? null : (100 * part) / whole)

function people(): Measure[] {
  return [
    ['children born', 'children', ({ tally }) => tally.children],
    ['left the district', 'children', ({ tally }) => tally.left],
    ['lived their first year here', 'children', ({ tally }) => tally.cohort],
  ]
}

function coverage({ policies }: Simulation): Measure[] {
  const doses = policies[0]?.tally.doses ?? []
  const infant = doses.filter(({ dose }) => dose.isInfantDose)
  return [
    ...infant.map(({ dose }): Measure => [
      `${nameOf(dose)} in the first year`,
      'percent',
      ({ tally }) => share(tallyOf(tally, dose).had, tally.cohort),
    ]),
    ['every dose of the first year', 'percent', ({ tally }) => share(tally.full, tally.cohort)],
    ...infant
      .filter(({ dose }) => dose.lateFrom !== null)
      .map(({ dose }): Measure => [
        `${nameOf(dose)} in time (before ${dose.lateFrom?.text ?? ''})`,
        'percent',
        ({ tally }) => share(tallyOf(tally, dose).inTime, tally.cohort),
      ]),
  ]
}

const nameOf = ({ series, dose }: SheetDose): string => `${series} ${dose}`

function tallyOf({ doses }: Tally, dose: SheetDose): Pick<DoseTally, 'had' | 'inTime'> {
  return doses.find((one) => one.dose === dose) ?? { had: 0, inTime: 0 }
}

function dropout({ first, shown }: Simulation): Measure[] {
  const of = ({ tally }: SimulatedPolicy): number | null => {
    const began = tallyOf(tally, first).had
    return share(began - tallyOf(tally, shown).had, began)
  }
  return [[`dropout ${nameOf(first)} to ${nameOf(shown)}`, 'percent', of]]
}

function work(): Measure[] {
  return [
    ['visits kept', 'count', ({ tally }) => tally.kept],
    ['visits missed', 'count', ({ tally }) => tally.missed],
    ['doses given', 'count', ({ tally }) => tally.given],
    ['of them on the register', 'percent', ({ tally }) => share(tally.recorded, tally.given)],
    ['reports by text', 'count', ({ tally }) => tally.reports],
    [
      'of them answered with what is wrong',
      'percent',
      ({ tally }) => share(tally.reportsRefused, tally.reports),
    ],
    [
      'of them taken for something else',
      'percent',
      ({ tally }) => share(tally.reportsMisread, tally.reports),
    ],
  ]
}

function messages({ policies }: Simulation, prices: TextPrices): Measure[] {
  const [unreminded] = policies
  const costOf = ({ tally }: SimulatedPolicy): number => prices.pricePerPart * partsOf(tally, prices)
  return [
    ['texts to families', 'count', ({ tally }) => textsOf(tally)],
    ['of them lost', 'percent', ({ tally }) => share(tally.textsLost, textsOf(tally))],
    [
      'texts a child',
      'count',
      ({ tally }) => (tally.children === 0 ? null : textsOf(tally) / tally.children),
    ],
    ['cost', 'money', costOf],
    [
      'cost a child',
      'money',
      (policy) => (policy.tally.children === 0 ? null : costOf(policy) / policy.tally.children),
    ],
    [
      'cost of one more child with every dose',
      'money',
      (policy) => {
        const more = policy.tally.full - (unreminded?.tally.full ?? 0)
        return more <= 0 ? null : costOf(policy) / more
      },
    ],
  ]
}

function textsOf({ texts }: Tally): number {
  return [...texts.values()].reduce((sum, count) => sum + count, 0)
}

function partsOf({ texts }: Tally, prices: TextPrices): number {
  return [...texts].reduce((sum, [kind, count]) => sum + count * prices.partsOf[kind], 0)
}

const CELL_WIDTH = 16

/** The figures as lines for a terminal, one column a policy. */
export function simulationTable({ policies }: Simulation, figures: readonly SimulatedFigure[]): string[] {
  const title = ['', ...policies.map(({ name }) => name)]
  const rows = figures.map(({ name, unit, values }) => [name, ...values.map((value) => shown(value, unit))])
  const width = Math.max(...figures.map(({ name }) => name.length))
  return [title, ...rows].map(([name = '', ...cells]) =>
    [name.padEnd(width), ...cells.map((cell) => cell.padStart(CELL_WIDTH))].join(''),
  )
}

function shown(value: number | null, unit: SimulatedFigure['unit']): string {
  if (value === null) return '-'
  if (unit === 'percent') return `${value.toFixed(1)} %`
  return unit === 'money' || !Number.isInteger(value) ? value.toFixed(2) : String(value)
}
