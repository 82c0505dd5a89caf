import { addSpan } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { GivenDose } from '../schedule/forecast-types.ts'
import { findSigns } from './sign-catalogue.ts'
import type { Sign, SignCatalogue } from './sign-catalogue.ts'

/** A reaction as reported: in words, or picked from a menu, or both. */
export interface ReactionReport {
  readonly words: string
  /** Sign codes picked from a menu. */
  readonly signs: readonly string[]
  /** Outcome codes picked from a menu (`SignCatalogue.outcomes`). */
  readonly outcomes: readonly string[]
  readonly reactionOn: Day
  readonly reportedOn: Day
  /** All doses of the child that stand in the register. */
  readonly doses: readonly GivenDose[]
}

/** Who sees it, and when: the officer at once, a person the same day, or the monthly list. */
export type ReactionRoute = 'at-once' | 'today' | 'line-list'

export type Because =
  | { readonly kind: 'sign'; readonly sign: string; readonly weight: Sign['weight'] }
  | { readonly kind: 'outcome'; readonly outcome: string }
  /** No word was recognised, so a person has to read it. */
  | { readonly kind: 'nothing-recognised' }

/** A sign, and whether a dose was given in its reportable window; `null` where it has none. */
export interface FoundSign {
  readonly code: string
  readonly isWithinWindow: boolean | null
}

interface Weighed {
  readonly isSerious: boolean
  readonly route: ReactionRoute
  readonly signs: readonly FoundSign[]
  readonly because: readonly Because[]
}

export type ReactionAssessment =
  | ({
      readonly kind: 'assessed'
      /** The doses of the latest vaccination before the reaction; empty where none stands in the register. */
      readonly doses: readonly GivenDose[]
    } & Weighed)
  /** The date cannot be. What it weighs is told all the same: a serious one must not wait for a better date. */
  | ({ readonly kind: 'refused'; readonly reason: 'before-dose' | 'in-future' } & Weighed)

function isWithin({ window }: Sign, report: ReactionReport): boolean | null {
  if (window === null) return null
  const { from = { days: 0 }, to, vaccines } = window
  return report.doses.some(
    ({ vaccine, on }) =>
      (vaccines?.includes(vaccine) ?? true) &&
      addSpan(on, from) <= report.reactionOn &&
      report.reactionOn <= addSpan(on, to),
  )
}

function reasons(signs: readonly Sign[], outcomes: readonly string[]): Because[] {
  const all: Because[] = [
    ...outcomes.map((outcome): Because => ({ kind: 'outcome', outcome })),
    ...signs.map(({ code, weight }): Because => ({ kind: 'sign', sign: code, weight })),
  ]
  return all.length > 0 ? all : [{ kind: 'nothing-recognised' }]
}

function routeFor(because: readonly Because[]): ReactionRoute {
  const weights = because.map((each) => (each.kind === 'sign' ? each.weight : each.kind))
  if (weights.includes('outcome') || weights.includes('serious')) return 'at-once'
  return weights.every((weight) => weight === 'ordinary') ? 'line-list' : 'today'
}

function weigh(report: ReactionReport, catalogue: SignCatalogue): Weighed {
  const inWords = new Set(findSigns(catalogue, report.words))
  const signs = catalogue.signs.filter((sign) => inWords.has(sign) || report.signs.includes(sign.code))
  const outcomes = catalogue.outcomes.filter((outcome) => report.outcomes.includes(outcome))
  const because = reasons(signs, outcomes)
  const route = routeFor(because)
  return {
    isSerious: route === 'at-once',
    route,
    signs: signs.map((sign) => ({ code: sign.code, isWithinWindow: isWithin(sign, report) })),
    because,
  }
}

/**
 * Sorts a reaction report by how fast a person must see it. It says nothing of the cause. A window never lowers
 * the weight of a sign, and a child without any dose in the register is not turned away.
 */
export function assessReaction(report: ReactionReport, catalogue: SignCatalogue): ReactionAssessment {
  const weighed = weigh(report, catalogue)
  const { reactionOn, reportedOn, doses } = report
  if (reactionOn > reportedOn) return { kind: 'refused', reason: 'in-future', ...weighed }
  const before = doses.filter(({ on }) => on <= reactionOn)
  if (before.length === 0 && doses.length > 0) return { kind: 'refused', reason: 'before-dose', ...weighed }
  const latestOn = Math.max(...before.map(({ on }) => on))
  return { kind: 'assessed', doses: before.filter(({ on }) => on === latestOn), ...weighed }
}
