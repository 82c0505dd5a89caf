/**
 * A second, slow reading of schedule files for checking the engine: it shares no code with it, works on
 * JavaScript dates, keeps no running state but the list of judged doses, and finds the next dose by trying
 * one day after the other.
 */

interface Rule {
  readonly earliest?: string
  readonly due?: string
  readonly before?: string
  readonly after?: string | readonly Gap[]
  readonly overdue?: string | { readonly sinceDue?: string; readonly sincePrevious?: string } | null
  readonly give?: string
}

interface Gap {
  readonly since: string
  readonly minimum: string
  readonly usual?: string
  readonly grace?: boolean
  readonly bothIn?: readonly string[]
}

interface Facts {
  readonly sex?: string
  readonly flag?: string
  readonly birthWeightBelow?: number
  readonly birthWeightFrom?: number
}

interface When extends Facts {
  readonly dose?: number
  readonly from?: string
  readonly before?: string
  readonly gap?: string
  readonly products?: readonly string[]
}

interface SeriesText {
  readonly id: string
  readonly vaccines: readonly string[]
  readonly onlyFor?: Facts
  readonly outside?: readonly (Facts & { from?: string; before?: string; vaccines?: readonly string[] })[]
  readonly doses: readonly Rule[]
  readonly variants?: readonly {
    when: When | readonly When[]
    total?: number
    doses?: Record<string, Rule>
  }[]
}

export interface ScheduleText {
  readonly monthEnd?: 'roll' | 'clamp'
  readonly graceDays?: number
  readonly overdue?: Rule['overdue']
  readonly liveSpacing?: { readonly minimum: string; readonly exempt?: readonly string[] }
  readonly vaccines: readonly { readonly code: string; readonly kind: string }[]
  readonly series: readonly SeriesText[]
}

export interface Infant {
  readonly born: string
  readonly asOf: string
  readonly sex?: string
  readonly birthWeightGrams?: number
  readonly given: readonly Given[]
}

interface Given {
  readonly vaccine: string
  readonly date: string
}

interface Judged extends Given {
  readonly series: string
  readonly number: number | null
  readonly reason: string | null
}

export interface Opinion {
  readonly verdicts: readonly string[]
  readonly next: readonly string[]
  readonly complete: readonly string[]
}

const DAY_MS = 86_400_000
const time = (date: string): number => Date.parse(`${date}T00:00:00Z`)
const text = (ms: number): string => new Date(ms).toISOString().slice(0, 10)
const plusDays = (date: string, days: number): string => text(time(date) + days * DAY_MS)

function plus(date: string, length: string, monthEnd: 'roll' | 'clamp'): string {
  const amount = (unit: string): number => Number(new RegExp(`(\\d+) ${unit}`).exec(length)?.[1] ?? 0)
  const months = amount('year') * 12 + amount('month')
  const [year = 0, month = 0, day = 0] = date.split('-').map(Number)
  let moved = new Date(Date.UTC(year, month - 1 + months, day))
  // JavaScript runs over into the next month by the days that are missing.
  if (moved.getUTCDate() !== day)
    moved = new Date(Date.UTC(moved.getUTCFullYear(), moved.getUTCMonth(), monthEnd === 'roll' ? 1 : 0))
  return plusDays(text(moved.getTime()), amount('week') * 7 + amount('day'))
}

/** The first day from a start on which every wait is over. */
function firstDay(start: string, waits: readonly string[]): string {
  const ends = waits.map(time)
  let day = time(start)
  while (!ends.every((end) => day >= end)) day += DAY_MS
  return text(day)
}

/** Reads a whole record afresh and says what counts and what comes next. */
export function secondOpinion(schedule: ScheduleText, infant: Infant): Opinion {
  return new Reader(schedule, infant).opinion()
}

class Reader {
  private readonly judged: Judged[] = []
  private readonly liveDays: Given[] = []
  private readonly schedule: ScheduleText
  private readonly infant: Infant

  constructor(schedule: ScheduleText, infant: Infant) {
    this.schedule = schedule
    this.infant = infant
  }

  opinion(): Opinion {
    const inOrder = [...this.infant.given.keys()].sort((a, b) =>
      this.sortKey(a).localeCompare(this.sortKey(b)),
    )
    const verdicts = new Map<number, string>()
    for (const place of inOrder) verdicts.set(place, this.judgeAll(place))
    const next: string[] = []
    const complete: string[] = []
    for (const series of this.schedule.series.filter((one) => this.isFor(one))) {
      const row = this.nextOf(series)
      if (row !== null) next.push(row)
      else complete.push(series.id)
    }
    return {
      verdicts: [...this.infant.given.keys()].map((place) => verdicts.get(place) ?? ''),
      next,
      complete,
    }
  }

  private sortKey(place: number): string {
    const dose = this.infant.given[place]
    const rank = this.schedule.vaccines.findIndex(({ code }) => code === dose?.vaccine)
    const firstSeries = this.schedule.series.findIndex(({ vaccines }) =>
      vaccines.includes(dose?.vaccine ?? ''),
    )
    return `${dose?.date} ${String(firstSeries + 1).padStart(3, '0')} ${String(rank + 1).padStart(3, '0')}`
  }

  private judgeAll(place: number): string {
    const dose = this.infant.given[place]
    if (dose === undefined) return ''
    const taking = this.schedule.series.filter(({ vaccines }) => vaccines.includes(dose.vaccine))
    const found = taking.map((series) => this.judgeOne(series, dose))
    const reasons = found.some(({ reason }) => reason !== 'not-counted')
      ? found.filter(({ reason }) => reason !== 'not-counted')
      : found.slice(0, 1)
    this.judged.push(...found)
    if (dose.date >= this.infant.born && dose.date <= this.infant.asOf && this.isSpacedLive(dose.vaccine))
      this.liveDays.push(dose)
    return reasons
      .map(({ series, number, reason }) => `${series} ${number ?? '-'} ${reason ?? 'valid'}`)
      .join('; ')
  }

  private judgeOne(series: SeriesText, dose: Given): Judged {
    const verdict = (number: number | null, reason: string | null): Judged => ({
      ...dose,
      series: series.id,
      number,
      reason,
    })
    const unnumbered = this.unnumberedReason(series, dose)
    if (unnumbered !== null) return verdict(null, unnumbered)
    const number = this.counted(series).length + 1
    const rule = this.rules(series)[number - 1]
    return rule === undefined
      ? verdict(null, 'surplus')
      : verdict(number, this.reasonAgainst(series, rule, dose))
  }

  private unnumberedReason(series: SeriesText, dose: Given): string | null {
    if (dose.date < this.infant.born) return 'before-birth'
    if (dose.date > this.infant.asOf) return 'future'
    if (!this.isFor(series) || this.isOutside(series, dose)) return 'not-counted'
    return this.inside(series).some(({ date }) => date === dose.date) ? 'repeat-same-day' : null
  }

  private reasonAgainst(series: SeriesText, rule: Rule, dose: Given): string | null {
    const grace = this.schedule.graceDays ?? 0
    if (rule.before !== undefined && dose.date >= this.age(rule.before)) return 'too-old'
    if (dose.date < plusDays(this.age(rule.earliest ?? '0 days'), -grace)) return 'too-young'
    for (const gap of this.gaps(rule)) {
      const start = this.startOf(series, gap, dose.vaccine)
      if (start === null) continue
      const allowed = plusDays(this.add(start, gap.minimum), gap.grace === false ? 0 : -grace)
      if (dose.date < allowed) return gap.since === 'birth' ? 'too-young' : 'too-soon'
    }
    return this.isTooNearLive(series, dose, grace) ? 'live-conflict' : null
  }

  /** Tries every day from the latest dose of the series on until all rules allow the dose. */
  private nextOf(series: SeriesText): string | null {
    const number = this.counted(series).length + 1
    const rule = this.rules(series)[number - 1]
    if (rule === undefined) return null
    const vaccine = rule.give ?? series.vaccines[0] ?? ''
    const lastInside = this.inside(series)
      .map(({ date }) => date)
      .sort()
      .at(-1)
    const from = lastInside === undefined ? this.infant.born : plusDays(lastInside, 1)
    const earliest = firstDay(from, this.waits(series, rule, 'minimum'))
    const latest = rule.before === undefined ? null : plusDays(this.age(rule.before), -1)
    let due = firstDay(earliest, this.waits(series, rule, 'usual'))
    if (latest !== null && due > latest) due = earliest > latest ? earliest : latest
    const late = this.lateFrom(series, rule, due)
    const overdue = late === null || (latest !== null && late > latest) ? null : late
    const status = this.status({ earliest, due, overdue, latest })
    return `${series.id} ${number} ${vaccine} ${earliest} ${due} ${overdue} ${latest} ${status}`
  }

  private waits(series: SeriesText, rule: Rule, length: 'minimum' | 'usual'): string[] {
    const vaccine = rule.give ?? series.vaccines[0] ?? ''
    const age = (length === 'usual' ? rule.due : undefined) ?? rule.earliest ?? '0 days'
    const gaps = this.gaps(rule).flatMap((gap) => {
      const start = this.startOf(series, gap, vaccine)
      return start === null ? [] : [this.add(start, gap[length] ?? gap.minimum)]
    })
    const live = this.isSpacedLive(vaccine)
      ? this.liveDays.filter((dose) => !series.vaccines.includes(dose.vaccine))
      : []
    const spacing = this.schedule.liveSpacing?.minimum ?? '0 days'
    return [this.age(age), ...gaps, ...live.map(({ date }) => this.add(date, spacing))]
  }

  private status(days: {
    earliest: string
    due: string
    overdue: string | null
    latest: string | null
  }): string {
    const { asOf } = this.infant
    if (days.latest !== null && (asOf > days.latest || days.earliest > days.latest)) return 'closed'
    if (asOf < days.due) return 'not-yet'
    return days.overdue !== null && asOf >= days.overdue ? 'overdue' : 'due'
  }

  private lateFrom(series: SeriesText, rule: Rule, due: string): string | null {
    const overdue = rule.overdue === undefined ? (this.schedule.overdue ?? null) : rule.overdue
    if (overdue === null) return null
    const last = this.previous(series)
    const late =
      typeof overdue === 'string'
        ? this.age(overdue)
        : overdue.sinceDue !== undefined
          ? this.add(due, overdue.sinceDue)
          : last === null
            ? null
            : this.add(last.date, overdue.sincePrevious ?? '0 days')
    return late === null || late >= due ? late : due
  }

  private age(length: string): string {
    return this.add(this.infant.born, length)
  }

  private add(date: string, length: string): string {
    return plus(date, length, this.schedule.monthEnd ?? 'roll')
  }

  private gaps(rule: Rule): readonly Gap[] {
    if (rule.after === undefined) return []
    return typeof rule.after === 'string' ? [{ since: 'previous', minimum: rule.after }] : rule.after
  }

  private startOf(series: SeriesText, gap: Gap, vaccine: string): string | null {
    if (gap.since === 'birth') return this.infant.born
    const start =
      gap.since === 'previous'
        ? this.previous(series)
        : this.counted(series)[Number(gap.since.split(' ')[1]) - 1]
    if (start === undefined || start === null) return null
    const concerns =
      gap.bothIn === undefined || (gap.bothIn.includes(vaccine) && gap.bothIn.includes(start.vaccine))
    return concerns ? start.date : null
  }

  private of(series: SeriesText): Judged[] {
    return this.judged.filter((dose) => dose.series === series.id)
  }

  private counted(series: SeriesText): Judged[] {
    return this.of(series).filter(({ reason }) => reason === null)
  }

  private inside(series: SeriesText): Judged[] {
    return this.of(series).filter(({ number }) => number !== null)
  }

  /** The latest dose, counted or not, that intervals run from. */
  private previous(series: SeriesText): Judged | null {
    return (
      this.of(series).findLast(({ number, reason }) => number !== null || reason === 'not-counted') ?? null
    )
  }

  private rules(series: SeriesText): readonly Rule[] {
    const variant = series.variants?.find(({ when }) => [when].flat().every((one) => this.holds(series, one)))
    if (variant === undefined) return series.doses
    return series.doses
      .slice(0, variant.total)
      .map((rule, place) => ({ ...rule, ...variant.doses?.[place + 1] }))
  }

  private holds(series: SeriesText, when: When): boolean {
    const counted = this.counted(series)
    const isOther = ({ vaccine }: Judged): boolean => when.products?.includes(vaccine) === false
    if (!this.meets(when)) return false
    if (when.products !== undefined && (counted.length === 0 || counted.some(isOther))) return false
    if (when.dose === undefined) return true
    const [earlier, dose] = [counted[when.dose - 2], counted[when.dose - 1]]
    return dose !== undefined && this.isWithin(when, dose.date) && this.isAfterGap(when, earlier, dose)
  }

  private isWithin(when: When, date: string): boolean {
    if (when.from !== undefined && !this.isOfAge(date, when.from)) return false
    return when.before === undefined || !this.isOfAge(date, when.before)
  }

  private isAfterGap({ gap }: When, earlier: Judged | undefined, dose: Judged): boolean {
    return gap === undefined || (earlier !== undefined && dose.date >= this.add(earlier.date, gap))
  }

  private isOfAge(date: string, age: string): boolean {
    return date >= plusDays(this.age(age), -(this.schedule.graceDays ?? 0))
  }

  private meets(facts: Facts): boolean {
    const { sex, birthWeightGrams: weight } = this.infant
    if (facts.flag !== undefined) return false
    if (facts.sex !== undefined && facts.sex !== sex) return false
    if (facts.birthWeightBelow !== undefined && (weight === undefined || weight >= facts.birthWeightBelow))
      return false
    return facts.birthWeightFrom === undefined || (weight !== undefined && weight >= facts.birthWeightFrom)
  }

  private isFor(series: SeriesText): boolean {
    if (series.onlyFor === undefined) return true
    return this.infant.sex === undefined ? true : this.meets(series.onlyFor)
  }

  private isOutside(series: SeriesText, dose: Given): boolean {
    return (series.outside ?? []).some(
      (rule) =>
        this.meets(rule) &&
        (rule.vaccines === undefined || rule.vaccines.includes(dose.vaccine)) &&
        (rule.from === undefined || this.isOfAge(dose.date, rule.from)) &&
        (rule.before === undefined || !this.isOfAge(dose.date, rule.before)),
    )
  }

  private isSpacedLive(vaccine: string): boolean {
    const known = this.schedule.vaccines.find(({ code }) => code === vaccine)
    const spacing = this.schedule.liveSpacing
    return known?.kind === 'live' && spacing !== undefined && spacing.exempt?.includes(vaccine) !== true
  }

  private isTooNearLive(series: SeriesText, dose: Given, grace: number): boolean {
    if (!this.isSpacedLive(dose.vaccine)) return false
    const spacing = this.schedule.liveSpacing?.minimum ?? '0 days'
    const isFamily = (other: string): boolean =>
      this.schedule.series.some(({ vaccines }) => vaccines.includes(other) && vaccines.includes(dose.vaccine))
    return this.liveDays
      .filter((live) => live.date < dose.date && !series.vaccines.includes(live.vaccine))
      .some((live) => dose.date < plusDays(this.add(live.date, spacing), isFamily(live.vaccine) ? -grace : 0))
  }
}

/** Schedule data as read from a file of ours. */
export function asScheduleText(data: unknown): ScheduleText {
  // The files are checked by the engine's own tests; here they are only read.
  return data as ScheduleText
}
