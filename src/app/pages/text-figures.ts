import { addDays } from '../../core/days/day.ts'
import { startOfDay } from '../../core/days/day-bounds.ts'
import {
  countTextsByPurpose,
  countTextsByVillage,
  countTextsIn,
  countTextsWaiting,
} from '../../store/figures.ts'
import type { TextCount } from '../../store/figures.ts'
import type { DistrictScope } from './district-scope.ts'

export type { TextCount } from '../../store/figures.ts'

/** What went through the phones in the last days. */
export interface TextFigures {
  readonly days: number
  readonly byPurpose: readonly (TextCount & { readonly purpose: string })[]
  readonly byVillage: readonly (TextCount & { readonly villageId: string; readonly village: string })[]
  /** Texts that should have left by now and have not. */
  readonly waiting: number
  /** Parts of reminders and advice a year for each child whose family is texted; null where none is. */
  readonly partsAChildYear: number | null
  /** What hindered texts that came in; null where nothing did. */
  readonly received: readonly { readonly problem: string | null; readonly texts: number }[]
}

const DAYS = 30
const DAYS_A_YEAR = 365.25

export async function textFigures({ db, district, today, now }: DistrictScope): Promise<TextFigures> {
  const since = startOfDay(addDays(today, 1 - DAYS), district.timeZone)
  const byPurpose = await countTextsByPurpose(db, district.id, since)
  const { waiting, textedChildren } = await countTextsWaiting(db, district.id, now)
  const parts = byPurpose.find(({ purpose }) => purpose === 'reminder')?.parts ?? 0
  return {
    days: DAYS,
    byPurpose,
    byVillage: await countTextsByVillage(db, district.id, since),
    waiting,
    partsAChildYear: textedChildren === 0 ? null : ((parts / textedChildren) * DAYS_A_YEAR) / DAYS,
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
