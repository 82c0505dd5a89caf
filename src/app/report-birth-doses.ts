import { isWithinADay } from '../core/coverage/within-a-day.ts'
import { hourGiven } from '../core/register/hour-given.ts'
import type { Period } from '../store/coverage.ts'
import type { Db } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { listBirthDoses } from '../store/entry-figures.ts'

/** Children born in a period by when they had the birth dose; the three add up to the births on the register. */
export interface BirthDoses {
  readonly births: number
  readonly withinADay: number
  /** Later than 24 hours, or not at all. */
  readonly later: number
  /** Given on the day after birth, and the record does not tell the hours. */
  readonly unknown: number
}

export async function reportBirthDoses(
  db: Db,
  districtId: string,
  asked: Period & { readonly vaccine: string },
): Promise<BirthDoses> {
  const { timeZone } = await getDistrict(db, districtId)
  const rows = await listBirthDoses(db, districtId, asked)
  const verdicts = rows.map((row) => {
    const { givenOn } = row
    return isWithinADay({ ...row, hour: givenOn === null ? null : hourGiven({ ...row, givenOn }, timeZone) })
  })
  const count = (wanted: boolean | null): number => verdicts.filter((verdict) => verdict === wanted).length
  return { births: rows.length, withinADay: count(true), later: count(false), unknown: count(null) }
}
