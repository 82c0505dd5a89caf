import { addDays } from '../../core/days/day.ts'
import { startOfDay } from '../../core/days/day-bounds.ts'
import { countTextsByPurpose, countTextsByVillage, countTextsIn } from '../../store/figures.ts'
import type { TextCount } from '../../store/figures.ts'
import type { DistrictScope } from './district-scope.ts'

export type { TextCount } from '../../store/figures.ts'

/** What went through the phones in the last days. */
export interface TextFigures {
  readonly days: number
  readonly byPurpose: readonly (TextCount & { readonly purpose: string })[]
  readonly byVillage: readonly (TextCount & { readonly villageId: string; readonly village: string })[]
  /** What hindered texts that came in; null where nothing did. */
  readonly received: readonly { readonly problem: string | null; readonly texts: number }[]
}

const DAYS = 30

export async function textFigures({ db, district, today }: DistrictScope): Promise<TextFigures> {
  const since = startOfDay(addDays(today, 1 - DAYS), district.timeZone)
  return {
    days: DAYS,
    byPurpose: await countTextsByPurpose(db, district.id, since),
    byVillage: await countTextsByVillage(db, district.id, since),
    received: await countTextsIn(db, district.id, since),
  }
}

/** Several counts as one. */
export function addedTexts(counts: readonly TextCount[]): TextCount {
  const sum = (of: (count: TextCount) => number): number =>
    counts.reduce((total, count) => total + of(count), 0)
  return {
    texts: sum(({ texts }) => texts),
    parts: sum(({ parts }) => parts),
    delivered: sum(({ delivered }) => delivered),
    lost: sum(({ lost }) => lost),
  }
}
