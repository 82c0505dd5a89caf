import { endOfDay, startOfDay } from '../days/day-bounds.ts'
import { dayOf, daysInMonth } from '../days/day.ts'
import { brokenRule } from './cold-chain-rules.ts'
import type { ColdChainRules } from './cold-chain-rules.ts'
import type { Reading } from './excursions.ts'

/** Which month is drawn, by whose clocks, and the words on the chart in the reader's language. */
export interface FridgeMonth {
  readonly year: number
  /** 1 to 12. */
  readonly month: number
  readonly zone: string
  readonly words: {
    readonly title: string
    readonly tooCold: string
    readonly tooWarm: string
  }
}

type Side = 'cold' | 'warm'

const WIDTH = 720
const HEIGHT = 280
const PLOT = { left: 40, right: 700, top: 36, bottom: 236 } as const
/** Colours that differ for every common kind of colour sight (Okabe and Ito, 2008). */
const COLOUR = {
  safe: '#d9ece4',
  line: '#000000',
  cold: '#0072b2',
  warm: '#d55e00',
  grid: '#999999',
} as const
/** A longer silence breaks the line. */
const MAX_GAP_MS = 36 * 3_600_000

const escaped = (text: string): string => text.replace(/[&<>"']/gu, (sign) => `&#${sign.charCodeAt(0)};`)

/** To a tenth of a unit: finer than any screen, and short. */
const short = (value: number): string => String(Math.round(value * 10) / 10)

/** Where instants and temperatures lie on the plot. */
interface Frame {
  readonly x: (at: Date) => number
  readonly y: (celsius: number) => number
  readonly lowC: number
  readonly highC: number
}

function frameOf(readings: readonly Reading[], from: Date, until: Date): Frame {
  const lowC = Math.floor(readings.reduce((low, { celsius }) => Math.min(low, celsius), -2))
  const highC = Math.ceil(readings.reduce((high, { celsius }) => Math.max(high, celsius), 12))
  const share = (at: Date) => (at.getTime() - from.getTime()) / (until.getTime() - from.getTime())
  return {
    x: (at) => PLOT.left + share(at) * (PLOT.right - PLOT.left),
    y: (celsius) => PLOT.bottom - ((celsius - lowC) / (highC - lowC)) * (PLOT.bottom - PLOT.top),
    lowC,
    highC,
  }
}

/** The safe band, a line for each temperature worth reading off, and the days of the month. */
function axes({ x, y, lowC, highC }: Frame, safe: ColdChainRules['safe'], days: readonly Date[]): string {
  const [top, bottom] = [y(safe.toC), y(safe.fromC)]
  const band = `<rect x="${PLOT.left}" y="${short(top)}" width="${PLOT.right - PLOT.left}" height="${short(bottom - top)}" fill="${COLOUR.safe}"/>`
  const degrees = [lowC, 0, safe.fromC, safe.toC, highC].map((celsius) => {
    const height = short(y(celsius))
    return (
      `<path d="M${PLOT.left} ${height}H${PLOT.right}" stroke="${COLOUR.grid}" stroke-width="0.5"/>` +
      `<text x="${PLOT.left - 6}" y="${height}" text-anchor="end" dominant-baseline="middle">${celsius}</text>`
    )
  })
  const dates = days.map((at, index) =>
    index % 7 === 0 ? `<text x="${short(x(at))}" y="${PLOT.bottom + 16}">${index + 1}</text>` : '',
  )
  return [band, ...degrees, ...dates].join('')
}

function line(readings: readonly Reading[], { x, y }: Frame): string {
  const steps = readings.map(({ at, celsius }, index) => {
    const before = readings[index - 1]
    const isJoined = before !== undefined && at.getTime() - before.at.getTime() <= MAX_GAP_MS
    // A step of no length with a round end is a dot, so that a lone reading shows too.
    return `${isJoined ? 'L' : 'M'}${short(x(at))} ${short(y(celsius))}${isJoined ? '' : 'h0'}`
  })
  return `<path d="${steps.join('')}" fill="none" stroke="${COLOUR.line}" stroke-width="1.5" stroke-linecap="round"/>`
}

/** Shape says it as well as colour: a triangle points down for cold and up for warm. */
function mark(side: Side, x: number, y: number): string {
  const shape = side === 'warm' ? 'm-6 5h12l-6-11z' : 'm-6-5h12l-6 11z'
  return `<path class="${side}" d="M${short(x)} ${short(y)}${shape}" fill="${COLOUR[side]}"/>`
}

function legend(entries: readonly (readonly [Side, string])[]): string {
  return entries
    .map(([side, text], index) => {
      const left = PLOT.left + 8 + index * 240
      return `${mark(side, left, HEIGHT - 14)}<text x="${left + 12}" y="${HEIGHT - 10}">${escaped(text)}</text>`
    })
    .join('')
}

/**
 * A refrigerator's month as an SVG picture: every reading, the safe band, and a mark on each that lies outside it.
 * It carries a title and a summary for screen readers, and needs no colour to be read.
 */
export function fridgeMonthChart(
  readings: readonly Reading[],
  { year, month, zone, words }: FridgeMonth,
  rules: ColdChainRules,
): string {
  const days = Array.from({ length: daysInMonth(year, month) }, (_, index) => dayOf(year, month, index + 1))
    .filter((day) => day !== undefined)
    .map((day) => ({ from: startOfDay(day, zone), until: endOfDay(day, zone) }))
  const [first, last] = [days[0], days.at(-1)]
  if (first === undefined || last === undefined) throw new RangeError(`no such month: ${year}-${month}`)
  const shown = readings
    .filter(({ at }) => at >= first.from && at <= last.until)
    .sort((a, b) => a.at.getTime() - b.at.getTime())
  const frame = frameOf(shown, first.from, last.until)
  const outside = shown.flatMap(({ at, celsius }) => {
    const rule = brokenRule(celsius, rules)
    if (rule === undefined) return []
    const side: Side = rule.aboveC === undefined ? 'cold' : 'warm'
    return [{ side, x: frame.x(at), y: frame.y(celsius) }]
  })
  const count = (side: Side) => outside.filter((each) => each.side === side).length
  const counts = [
    ['cold', `${words.tooCold}: ${count('cold')}`],
    ['warm', `${words.tooWarm}: ${count('warm')}`],
  ] as const
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 ${WIDTH} ${HEIGHT}" font-family="sans-serif" font-size="12">`,
    `<title>${escaped(words.title)}</title>`,
    `<desc>${escaped(counts.map(([, text]) => text).join('. '))}.</desc>`,
    `<text x="${PLOT.left}" y="20" font-size="14">${escaped(words.title)} (°C)</text>`,
    axes(
      frame,
      rules.safe,
      days.map(({ from }) => from),
    ),
    line(shown, frame),
    ...outside.map(({ side, x, y }) => mark(side, x, y)),
    legend(counts),
    '</svg>',
  ].join('')
}
