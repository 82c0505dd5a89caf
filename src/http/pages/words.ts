/** Figures and days as the pages write them. */
import { formatMinute } from '../../core/days/clock-time.ts'
import { showRatio } from '../../core/coverage/shown-ratio.ts'
import type { CoverageRatio, RatioFlag } from '../../core/coverage/coverage-ratio.ts'
import type { Dropout } from '../../core/coverage/dropout.ts'
import { percentText } from '../../core/coverage/shown-ratio.ts'
import { localTimeAt } from '../../core/days/zoned-time.ts'
import { civilDate, completedMonths } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import type { District } from '../../core/model.ts'
import { sayDay } from '../../core/texts/say-day.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'

type InCalendar = Pick<District, 'calendar'>

/** `Sun 29 Mar 2026`, in the calendar of the district. */
export function dayText({ calendar }: InCalendar, day: Day): string {
  return sayDay(day, { language: 'en', calendar, withYear: true })
}

/** A day of a list: the year stands there only where it is not this one. */
export function nearDayText(district: InCalendar, day: Day, today: Day): string {
  if (civilDate(day).year !== civilDate(today).year) return dayText(district, day)
  return sayDay(day, { language: 'en', calendar: district.calendar })
}

const WAYS: Readonly<Record<string, string>> = {
  sms: 'by text',
  ussd: 'by menu',
  api: 'over the API',
  import: 'from a register taken over',
  exchange: 'from another system',
}

/** How a record came: `by text`, `from a register taken over`. */
export function originText(via: string): string {
  return WAYS[via] ?? via
}

const WEEKS_UNTIL_DAYS = 182
const MONTHS_UNTIL = 36

/** An age as one says it: `5 weeks` in the first half-year, `17 months` up to three years, then `4 years`. */
export function ageText(birthOn: Day, on: Day): string {
  const days = on - birthOn
  if (days < WEEKS_UNTIL_DAYS) return counted(Math.floor(days / 7), 'week')
  const months = completedMonths(birthOn, on)
  return months < MONTHS_UNTIL ? counted(months, 'month') : counted(Math.floor(months / 12), 'year')
}

function counted(count: number, unit: string): string {
  return `${count} ${unit}${count === 1 ? '' : 's'}`
}

/** `Sun 29 Mar 2026, 21:14`, by the clock of the district. */
export function timeText(district: InCalendar & Pick<District, 'timeZone'>, at: Date): string {
  const { day, minute } = localTimeAt(at, district.timeZone)
  return `${dayText(district, day)}, ${formatMinute(minute)}`
}

const FLAGS: Readonly<Record<RatioFlag, string>> = {
  'over-100': 'over 100 %',
  'small-number': 'few children',
  'no-denominator': 'no target',
}

/** What to know before trusting a figure. */
export function flagTexts(flags: readonly RatioFlag[]): readonly string[] {
  return flags.map((flag) => FLAGS[flag])
}

/** A coverage: a percentage, or of few children the count and where the truth may lie. */
export function ratioMarkup(ratio: CoverageRatio, cutOffs: readonly number[] = []): Markup {
  const shown = showRatio(ratio, cutOffs)
  switch (shown.kind) {
    case 'percent':
      return html`${shown.text} %`
    case 'count':
      return html`${shown.text}`
    case 'no-denominator':
      return html`<span class="few">no target</span>`
  }
}

/** A denominator without needless decimals. */
export function targetText({ denominator }: Pick<CoverageRatio, 'denominator'>): string {
  return denominator === null ? '–' : denominator.toFixed(1).replace(/\.0$/, '')
}

/** A dropout in percent; of few children as a count. */
export function dropoutText({ dropped, first, percent, flags }: Dropout): string {
  if (percent === null) return '–'
  return flags.includes('small-number') ? `${dropped}/${first}` : `${percentText(dropped, first)} %`
}

/** The children behind a dropout; where there are more later doses than first ones, that. */
export function dropoutCount({ dropped, first }: Dropout): string {
  return dropped < 0 ? `${-dropped} more last than first doses` : `${dropped} of ${first} who began`
}

/** A numbered dose: `PENTA 1`. */
export function doseName({ series, dose }: { readonly series: string; readonly dose: number }): string {
  return `${series} ${dose}`
}
