import type { OpenLife } from '../vials/vial-policy.ts'
import { wastageFactor } from './wastage.ts'

/** A number of vials, or a share, with the range it may well fall in. */
export interface Range {
  readonly low: number
  readonly expected: number
  readonly high: number
}

/** What a session was planned for and what came of it. */
export interface PastSession {
  readonly due: number
  readonly came: number
}

/** What turns children into vials of one product. */
export interface VialFigures {
  /** Share of those due who come; above 1 where others come too. */
  readonly attendance: Range
  /** Of the doses opened, in percent (`plannedWastagePercent`). */
  readonly wastagePercent: number
  /** `usableDoses` of the product for the vaccine. */
  readonly dosesPerVial: number
}

/** Doses for a target: children × doses for each × share reached × wastage factor. */
export function dosesForTarget(target: {
  readonly children: number
  readonly dosesEach: number
  readonly coveragePercent: number
  readonly factor: number
}): number {
  return (target.children * target.dosesEach * target.coveragePercent * target.factor) / 100
}

/** Doses a year where each session opens its vials: posts × weeks × sessions a week × vials × doses. */
export function dosesForSessions(plan: {
  readonly posts: number
  readonly weeks: number
  readonly sessionsPerWeek: number
  readonly vialsPerSession: number
  readonly dosesPerVial: number
}): number {
  return plan.posts * plan.weeks * plan.sessionsPerWeek * plan.vialsPerSession * plan.dosesPerVial
}

/**
 * Attendance of the sessions before at which anyone was due: lowest, all together, highest; `fallback` where they are
 * fewer than `fromSessions`.
 */
export function attendanceRange(past: readonly PastSession[], fallback: Range, fromSessions = 1): Range {
  const counted = past.filter(({ due }) => due > 0)
  if (counted.length < fromSessions) return fallback
  const shares = counted.map(({ due, came }) => came / due)
  const sum = (of: (session: PastSession) => number) => counted.reduce((total, each) => total + of(each), 0)
  return {
    low: Math.min(...shares),
    expected: sum(({ came }) => came) / sum(({ due }) => due),
    high: Math.max(...shares),
  }
}

/** Arithmetic on shares leaves a dust of 10^-14 that must not open another vial. */
const DUST = 1e-9

function vialsFor(due: number, share: number, { wastagePercent, dosesPerVial }: VialFigures): number {
  const vials = Math.ceil((due * share * wastageFactor(wastagePercent)) / dosesPerVial - DUST)
  return due > 0 ? Math.max(1, vials) : 0
}

/**
 * Vials for one session: due × attendance × wastage factor ÷ doses per vial, rounded up. It grows with the
 * children, and is at least one vial when anyone is due.
 */
export function sessionVials(due: number, figures: VialFigures): Range {
  const { low, expected, high } = figures.attendance
  return {
    low: vialsFor(due, low, figures),
    expected: vialsFor(due, expected, figures),
    high: vialsFor(due, high, figures),
  }
}

/** Vials for several sessions: opened vials that keep for days serve the next one, others are opened afresh. */
export function monthVials(dues: readonly number[], figures: VialFigures, life: OpenLife): Range {
  const total = dues.reduce((sum, due) => sum + due, 0)
  if (life.kind === 'days') return sessionVials(total, figures)
  return dues
    .map((due) => sessionVials(due, figures))
    .reduce(
      (sum, each) => ({
        low: sum.low + each.low,
        expected: sum.expected + each.expected,
        high: sum.high + each.high,
      }),
      { low: 0, expected: 0, high: 0 },
    )
}
