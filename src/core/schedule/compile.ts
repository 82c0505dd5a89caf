import { BIRTH } from './length.ts'
import type { Condition, DoseRule, Facts, Outside, Schedule, Series, Vaccine, Wait } from './schedule.ts'
import type {
  ConditionFile,
  DoseRuleFile,
  FactsFile,
  IntervalFile,
  OutsideFile,
  ScheduleFile,
  SeriesFile,
  Since,
  VaccineFile,
} from './schedule-file.ts'

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
  const { code, name, kind, route, site, amount, atc, words, retired } = vaccine
  return {
    code,
    name,
    kind,
    route,
    site: site ?? null,
    amount: amount ?? null,
    atc: atc ?? null,
    words,
    retired,
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
