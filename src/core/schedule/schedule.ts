import type { Day, MonthEnd } from '../days/day.ts'
import { BIRTH } from './length.ts'
import type { Length } from './length.ts'
import type {
  Adoption,
  ConditionFile,
  DoseRuleFile,
  FactsFile,
  IntervalFile,
  OutsideFile,
  OverdueRule,
  ScheduleFile,
  SeriesFile,
  Since,
  VaccineFile,
} from './schedule-file.ts'

/** What is in the vial, and where its doses count. */
export interface Vaccine extends Omit<VaccineFile, 'atc'> {
  readonly atc: string | null
  /** Live, and kept apart from other live vaccines. */
  readonly isSpaced: boolean
  /** Series its doses count in, by index in `Schedule.series`. */
  readonly countsIn: readonly number[]
  /** Its own place among doses of one day: a dose that another is counted from comes first. */
  readonly rank: number
}

/** A wait: since birth (an age) or since an earlier dose. */
export interface Wait {
  /** The dose may be numbered and of any series, by index. */
  readonly since: 'birth' | 'previous' | { readonly series: number; readonly dose: number }
  /** Before it, the dose does not count. */
  readonly minimum: Length
  /** After it, the dose is asked for. */
  readonly usual: Length
  readonly takesGrace: boolean
  /** Holds only where both doses are of these vaccines. */
  readonly bothIn: readonly string[] | null
}

/** The rule of one numbered dose. */
export interface DoseRule {
  readonly number: number
  /** All must be over; the first, the age, always stands. */
  readonly waits: readonly Wait[]
  readonly overdue: OverdueRule | null
  /** May be given only before this age. */
  readonly before: Length | null
  /** The vaccine to ask for. */
  readonly give: Vaccine
}

/** What must be known of the child; `null` = does not matter. */
export interface Facts {
  readonly sex: 'female' | 'male' | null
  readonly flag: string | null
  readonly birthWeightBelow: number | null
  readonly birthWeightFrom: number | null
}

/** Rules that replace a series' own while their conditions hold. */
export interface Variant {
  readonly when: readonly Condition[]
  readonly doses: readonly DoseRule[]
}

export interface Condition {
  readonly facts: Facts | null
  /** Every counted dose is of these vaccines, and there is one. */
  readonly products: readonly string[] | null
  readonly timing: Timing | null
}

/** When a counted dose must have been given. */
export interface Timing {
  readonly dose: number
  readonly from: Length | null
  readonly before: Length | null
  /** Time since the counted dose before it. */
  readonly gap: Length | null
}

/** Doses that are given and stand outside the numbering. */
export interface Outside {
  readonly facts: Facts | null
  readonly vaccines: readonly string[] | null
  readonly from: Length | null
  readonly before: Length | null
  readonly why: string
}

/** Numbered doses against one disease or group of diseases. */
export interface Series {
  readonly id: string
  readonly name: string
  readonly index: number
  readonly vaccines: readonly string[]
  readonly onlyFor: Facts | null
  readonly outside: readonly Outside[]
  readonly doses: readonly DoseRule[]
  readonly variants: readonly Variant[]
  readonly restartAfter: Length | null
}

/** A schedule that has been checked, made ready for forecasting. */
export interface Schedule {
  readonly id: string
  readonly version: string
  readonly title: string
  readonly notice: string
  readonly effectiveOn: Day
  readonly sources: ScheduleFile['sources']
  readonly remarks: ScheduleFile['remarks']
  readonly adoption: Adoption
  readonly monthEnd: MonthEnd
  readonly graceDays: number
  readonly repeatFrom: ScheduleFile['repeatFrom']
  readonly accepts: ScheduleFile['accepts']
  readonly liveSpacing: Length | null
  readonly vaccines: ReadonlyMap<string, Vaccine>
  readonly series: readonly Series[]
}

/** Series ids so that each comes after those it is counted from; `undefined` when they wait for each other. */
export function readingOrder(file: ScheduleFile): readonly string[] | undefined {
  const waitsFor = new Map(file.series.map((series) => [series.id, otherSeries(series)]))
  const order: string[] = []
  while (order.length < file.series.length) {
    const ready = file.series.find(
      ({ id }) => !order.includes(id) && (waitsFor.get(id) ?? []).every((other) => order.includes(other)),
    )
    if (ready === undefined) return undefined
    order.push(ready.id)
  }
  return order
}

function otherSeries(series: SeriesFile): string[] {
  const rules = [...series.doses, ...series.variants.flatMap((variant) => Object.values(variant.doses))]
  return rules.flatMap((rule) =>
    (rule.after ?? []).flatMap(({ since }) => (since.kind === 'series' ? [since.series] : [])),
  )
}

/** Makes a schedule file that has no contradictions ready for forecasting. */
export function compile(file: ScheduleFile): Schedule {
  const order = readingOrder(file) ?? []
  const vaccines = new Map(
    file.vaccines.map((vaccine) => [vaccine.code, compileVaccine(file, vaccine, order)]),
  )
  return {
    id: file.id,
    version: file.version,
    title: file.title,
    notice: file.notice,
    effectiveOn: file.effectiveFrom,
    sources: file.sources,
    remarks: file.remarks,
    adoption: file.adoption,
    monthEnd: file.monthEnd,
    graceDays: file.graceDays,
    repeatFrom: file.repeatFrom,
    accepts: file.accepts,
    liveSpacing: file.liveSpacing?.minimum ?? null,
    vaccines,
    series: file.series.map((series, index) => compileSeries(file, series, index, vaccines)),
  }
}

function compileVaccine(file: ScheduleFile, vaccine: VaccineFile, order: readonly string[]): Vaccine {
  const countsIn = file.series.flatMap((series, index) =>
    series.vaccines.includes(vaccine.code) ? [index] : [],
  )
  const places = countsIn.map((index) => order.indexOf(file.series[index]?.id ?? ''))
  return {
    ...vaccine,
    atc: vaccine.atc ?? null,
    isSpaced:
      file.liveSpacing !== undefined &&
      vaccine.kind === 'live' &&
      !file.liveSpacing.exempt.includes(vaccine.code),
    countsIn,
    rank: Math.min(...places, order.length) * file.vaccines.length + file.vaccines.indexOf(vaccine),
  }
}

type Vaccines = ReadonlyMap<string, Vaccine>

function compileSeries(file: ScheduleFile, series: SeriesFile, index: number, vaccines: Vaccines): Series {
  const plan = (rules: readonly DoseRuleFile[]): DoseRule[] =>
    rules.map((rule, place) => compileRule(file, series, { ...rule, number: place + 1 }, vaccines))
  return {
    id: series.id,
    name: series.name,
    index,
    vaccines: series.vaccines,
    onlyFor: compileFacts(series.onlyFor ?? {}),
    outside: series.outside.map(compileOutside),
    doses: plan(series.doses),
    variants: series.variants.map((variant) => ({
      when: variant.when.map(compileCondition),
      doses: plan(
        series.doses
          .slice(0, variant.total)
          .map((rule, place) => ({ ...rule, ...variant.doses[String(place + 1)] })),
      ),
    })),
    restartAfter: series.restartAfter ?? null,
  }
}

function compileFacts(facts: FactsFile): Facts | null {
  const { sex = null, flag = null, birthWeightBelow = null, birthWeightFrom = null } = facts
  const matters = sex ?? flag ?? birthWeightBelow ?? birthWeightFrom
  return matters === null ? null : { sex, flag, birthWeightBelow, birthWeightFrom }
}

function compileCondition(condition: ConditionFile): Condition {
  const { products = null, dose, from = null, before = null, gap = null } = condition
  const timing = dose === undefined ? null : { dose, from, before, gap }
  return { facts: compileFacts(condition), products, timing }
}

function compileOutside(outside: OutsideFile): Outside {
  const { vaccines = null, from = null, before = null, why } = outside
  return { facts: compileFacts(outside), vaccines, from, before, why }
}

function compileRule(
  file: ScheduleFile,
  series: SeriesFile,
  rule: DoseRuleFile & { number: number },
  vaccines: Vaccines,
): DoseRule {
  const give = vaccines.get(rule.give ?? series.vaccines[0] ?? '')
  if (give === undefined) throw new RangeError(`series ${series.id} asks for a vaccine the schedule lacks`)
  const earliest = rule.earliest ?? BIRTH
  const age: Wait = {
    since: 'birth',
    minimum: earliest,
    usual: rule.due ?? earliest,
    takesGrace: true,
    bothIn: null,
  }
  return {
    number: rule.number,
    waits: [age, ...(rule.after ?? []).map((interval) => compileInterval(file, series, interval))],
    overdue: rule.overdue === undefined ? file.overdue : rule.overdue,
    before: rule.before ?? null,
    give,
  }
}

function compileInterval(file: ScheduleFile, own: SeriesFile, interval: IntervalFile): Wait {
  return {
    since: compileSince(file, own, interval.since),
    minimum: interval.minimum,
    usual: interval.usual ?? interval.minimum,
    takesGrace: interval.grace,
    bothIn: interval.bothIn ?? null,
  }
}

function compileSince(file: ScheduleFile, own: SeriesFile, since: Since): Wait['since'] {
  if (since.kind === 'birth' || since.kind === 'previous') return since.kind
  const series = since.kind === 'series' ? since.series : own.id
  return { series: file.series.findIndex(({ id }) => id === series), dose: since.dose }
}
