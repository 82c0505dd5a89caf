import { checkData, mustBeValid } from '../core/checked-data.ts'
import type { Checked } from '../core/checked-data.ts'
import { doseSheet } from '../core/coverage/dose-sheet.ts'
import { indicatorSettingsSchema } from '../core/coverage/indicator-settings.ts'
import { parseDay } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import { bookOf, buildVocabulary } from '../core/reading/vocabulary.ts'
import { Refusal } from '../core/refusals.ts'
import { parseReminderPolicy } from '../core/reminders/policy.ts'
import type { ReminderPolicy } from '../core/reminders/policy.ts'
import { effectOf, parseAssumptions } from '../core/simulation/assumptions.ts'
import type { Assumptions } from '../core/simulation/assumptions.ts'
import { simulate } from '../core/simulation/simulate.ts'
import type { Simulation } from '../core/simulation/simulate.ts'
import { simulatedDistrict } from '../core/simulation/simulated-district.ts'
import type { SimulatedDistrict } from '../core/simulation/simulated-district.ts'
import { simulationChart } from '../core/simulation/simulation-chart.ts'
import { simulationFigures, simulationTable } from '../core/simulation/simulation-table.ts'
import { listDataFiles, readDataFile } from '../platform/data-files.ts'
import { loadSchedule } from './schedules.ts'
import { usualParts } from './usual-parts.ts'
import { readKeywordBooks } from './vocabularies.ts'

export interface SimulationOptions {
  readonly children: number
  readonly months: number
  readonly seed: number
  /** ISO day. */
  readonly start: string
  readonly schedule: string
  /** Names of policies that come with the service, or files. */
  readonly policy: readonly string[]
  readonly effect?: string
  /** A file in place of the assumptions that come with the service. */
  readonly assumptions?: string
  /** Of one part of a text. */
  readonly price: number
  readonly format: 'table' | 'json'
  /** @throws {Refusal} input-invalid */
  readonly read: (file: string) => unknown
}

export interface SimulationResult {
  readonly lines: readonly string[]
  readonly chart: () => string
}

const UNREMINDED = { name: 'no texts', policy: null }
/** The days within which visits for several doses are joined; the default of a district. */
const BUNDLING_DAYS = 14

/** Plays a district as asked. @throws {Refusal} input-invalid, schedule-not-found, schedule-invalid */
export function runSimulation(options: SimulationOptions): SimulationResult {
  const indicators = mustBeValid(checkData(indicatorSettingsSchema, readDataFile('indicators/default.json')))
  const district = districtOf(options)
  const policies = options.policy.map((name) => ({
    name: shortName(name),
    policy: policyNamed(name, options),
  }))
  const simulation = simulate(district, {
    children: options.children,
    policies: [UNREMINDED, ...policies],
    shown: indicators.underVaccinated,
  })
  const lines = options.format === 'json' ? asJson(simulation, options) : asTable(simulation, options)
  return { lines, chart: () => simulationChart(simulation) }
}

/** The district that is played. @throws {Refusal} input-invalid, schedule-not-found, schedule-invalid */
export function districtOf(
  options: Pick<
    SimulationOptions,
    'schedule' | 'start' | 'seed' | 'months' | 'assumptions' | 'effect' | 'read'
  >,
): SimulatedDistrict {
  const schedule = loadSchedule(options.schedule)
  const startOn = dayOf(options.start)
  const languages = ['en']
  const vaccines = [...schedule.vaccines.keys()]
  const vocabulary = buildVocabulary(readKeywordBooks(), { languages, calendar: 'gregory', vaccines })
  return simulatedDistrict({
    seed: options.seed,
    months: options.months,
    startOn,
    assumptions: assumptionsOf(options),
    schedule,
    sheet: doseSheet(schedule),
    bundlingDays: BUNDLING_DAYS,
    reading: { from: 'vaccinator', vocabulary, language: 'en', region: 'GB', isDayFirst: true },
    keywords: bookOf(vocabulary, 'en'),
  })
}

function dayOf(text: string): Day {
  const day = parseDay(text)
  if (day !== undefined) return day
  throw new Refusal('input-invalid', `"${text}" is no day; write one like 2026-01-01.`)
}

function assumptionsOf({
  assumptions: file,
  effect,
  read,
}: Pick<SimulationOptions, 'assumptions' | 'effect' | 'read'>): Assumptions {
  const data = file === undefined ? readDataFile('simulation/assumptions.json') : read(file)
  const assumptions = proven(parseAssumptions(data), file ?? 'the assumptions')
  if (effect === undefined) return assumptions
  const { effects } = assumptions
  if (effect in effects) return { ...assumptions, effect }
  const ratio = Number(effect)
  if (ratio >= 0.5 && ratio <= 5)
    return { ...assumptions, effect, effects: { ...effects, [effect]: { ratio, source: 'stated' } } }
  const known = Object.keys(effects).join(', ')
  throw new Refusal(
    'input-invalid',
    `There is no effect "${effect}"; give a ratio from 0.5 to 5, or one of ${known}.`,
  )
}

function policyNamed(name: string, { read }: SimulationOptions): ReminderPolicy {
  const isShipped = listDataFiles('policies').includes(name)
  const data = isShipped ? readDataFile(`policies/${name}.json`) : read(name)
  return proven(parseReminderPolicy(data), name)
}

/** A policy file's name without its folder and ending. */
function shortName(file: string): string {
  return file.replace(/^.*\//, '').replace(/\.json$/, '')
}

function proven<Value>(checked: Checked<Value>, what: string): Value {
  if (checked.kind === 'valid') return checked.value
  throw new Refusal('input-invalid', `${what} cannot be used. ${checked.problems.join('; ')}.`)
}

function asTable(simulation: Simulation, options: SimulationOptions): readonly string[] {
  const { assumptions, schedule } = simulation.district
  const prices = { partsOf: usualParts(), pricePerPart: options.price }
  const finding = assumptions.effects[assumptions.effect]
  return [
    `${options.children} children born over ${options.months} months from ${options.start}, ${schedule.id}, seed ${options.seed}`,
    `A reminded family is ${effectOf(assumptions)} times as likely to come (${assumptions.effect}: ${finding?.source ?? ''}).`,
    '',
    ...simulationTable(simulation, simulationFigures(simulation, prices)),
  ]
}

function asJson(simulation: Simulation, options: SimulationOptions): readonly string[] {
  const prices = { partsOf: usualParts(), pricePerPart: options.price }
  const { assumptions } = simulation.district
  return simulationFigures(simulation, prices).map(({ name, unit, values }) => {
    const byPolicy = Object.fromEntries(
      simulation.policies.map((policy, place) => [policy.name, values[place]]),
    )
    return JSON.stringify({ name, unit, effect: assumptions.effect, ...byPolicy })
  })
}
