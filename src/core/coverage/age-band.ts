import type { Day } from '../days/day.ts'
import { addMonths } from '../days/day.ts'

/** How old a child was at a dose, in the bands of WHO's facility data: before the first birthday, before the second, later. */
export const AGE_BANDS = ['under-12m', '12m-to-23m', 'from-24m'] as const
export type AgeBand = (typeof AGE_BANDS)[number]

/** The age before which a dose must be given to count; `any` counts every age. */
export type ByAge = '12m' | '24m' | 'any'

/** A birthday itself opens the next band; a child born on 29 February has it on 1 March. */
export function ageBand(birthOn: Day, on: Day): AgeBand {
  if (on < addMonths(birthOn, 12)) return 'under-12m'
  return on < addMonths(birthOn, 24) ? '12m-to-23m' : 'from-24m'
}

/** The bands that together hold the doses given before an age. */
export function bandsBefore(byAge: ByAge): readonly AgeBand[] {
  return AGE_BANDS.slice(0, { '12m': 1, '24m': 2, any: 3 }[byAge])
}
