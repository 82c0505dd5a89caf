import type { Product } from '../vials/product.ts'
import type { VialPolicy } from '../vials/vial-policy.ts'
import { brokenRule } from './cold-chain-rules.ts'
import type { ColdChainRules, ExcursionCode, ExcursionRule } from './cold-chain-rules.ts'

/** One temperature, read by a person or by a logger. */
export interface Reading {
  readonly at: Date
  readonly celsius: number
  readonly by: 'hand' | 'logger'
}

/** What to do with a vial after an excursion; none of it may be used before that is done. */
export interface ExcursionAdvice {
  readonly code: ExcursionCode
  readonly advice: ExcursionRule['advice']
  readonly shakeTest: boolean
  /** The key of the phrase that tells what to do. */
  readonly sentence: `cold-${ExcursionRule['advice']}`
}

/** What a temperature means for one product; `undefined`: nothing. */
export function adviseOn(
  celsius: number,
  product: Product,
  policy: VialPolicy,
  rules: ColdChainRules,
): ExcursionAdvice | undefined {
  const rule = brokenRule(celsius, rules)
  if (rule === undefined || (rule.of === 'freeze-sensitive' && !product.freezeSensitive)) return undefined
  const withTest = product.shakeTest && policy.shakeTest ? rule.adviceWithShakeTest : undefined
  const advice = withTest ?? rule.advice
  return { code: rule.code, advice, shakeTest: withTest !== undefined, sentence: `cold-${advice}` }
}

/** A run of readings on one side of the safe range. */
export interface Excursion {
  /** By the worst of its readings. */
  readonly code: ExcursionCode
  readonly worstC: number
  readonly fromAt: Date
  readonly untilAt: Date
  readonly readings: number
}

/** Readings, one after another, on one side of the safe range. */
interface Run {
  readonly isWarm: boolean
  readonly readings: Reading[]
}

function runsOf(readings: readonly Reading[], rules: ColdChainRules): Run[] {
  const runs: Run[] = []
  let open: Run | undefined
  for (const reading of [...readings].sort((a, b) => a.at.getTime() - b.at.getTime())) {
    const rule = brokenRule(reading.celsius, rules)
    const isWarm = rule?.aboveC !== undefined
    if (rule === undefined) {
      open = undefined
    } else if (open?.isWarm === isWarm) {
      open.readings.push(reading)
    } else {
      open = { isWarm, readings: [reading] }
      runs.push(open)
    }
  }
  return runs
}

const MINUTE_MS = 60_000

function measure({ isWarm, readings }: Run, rules: ColdChainRules): Excursion[] {
  const worse = (a: number, b: number) => (isWarm ? Math.max(a, b) : Math.min(a, b))
  const worstC = readings.map(({ celsius }) => celsius).reduce(worse)
  const rule = brokenRule(worstC, rules)
  const [fromAt, untilAt] = [readings[0]?.at, readings.at(-1)?.at]
  if (rule === undefined || fromAt === undefined || untilAt === undefined) return []
  const minutes = (untilAt.getTime() - fromAt.getTime()) / MINUTE_MS
  const counts = minutes >= rule.loggerMinutes || readings.some(({ by }) => by === 'hand')
  return counts ? [{ code: rule.code, worstC, fromAt, untilAt, readings: readings.length }] : []
}

/**
 * The excursions in a series of readings, in time order: one for each run outside the range. A run that only a
 * logger saw counts once it has lasted (a door that stood open does not).
 */
export function excursions(readings: readonly Reading[], rules: ColdChainRules): readonly Excursion[] {
  return runsOf(readings, rules).flatMap((run) => measure(run, rules))
}
