import type { CoverageRatio } from './coverage-ratio.ts'
import { coverageRatio } from './coverage-ratio.ts'
import type { DosePair } from './dose-pair.ts'
import type { PairHistory } from './dropout.ts'

/** True when a child who is never late is due for both doses at one age. */
export function areDueTogether({ first, later }: DosePair): boolean {
  return first.dueAge.months === later.dueAge.months && first.dueAge.days === later.dueAge.days
}

/**
 * Children who had both doses on one day, over those who had both. A child who has only one of them yet stands
 * outside: coverage and dropout tell of it.
 */
export function sameDayShare(
  children: readonly Pick<PairHistory, 'firstOn' | 'laterOn'>[],
  smallNumberBelow: number,
): CoverageRatio {
  const withBoth = children.filter(({ firstOn, laterOn }) => firstOn !== null && laterOn !== null)
  const onOneDay = withBoth.filter(({ firstOn, laterOn }) => firstOn === laterOn)
  return coverageRatio(onOneDay.length, withBoth.length, smallNumberBelow)
}
