import type { Act, ReadProblem } from '../../core/reading/act.ts'
import { withoutPin } from '../../core/pins/take-pin.ts'
import { read } from '../../core/reading/read.ts'
import { listVillages } from '../../store/districts.ts'
import { districtWords } from '../district-words.ts'
import type { Talk } from './talk.ts'

/** What words mean when the sender of this talk writes them. */
export async function readAs({ tx, deps, sender, today }: Talk, words: string): Promise<Act | ReadProblem> {
  const { district, language, as } = sender
  const villages = await listVillages(tx, district.id)
  return read(withoutPin(words), {
    from: as,
    on: today,
    vocabulary: await districtWords(tx, deps.shelf, district),
    language,
    region: district.region,
    isDayFirst: district.isDayFirst,
    villages: villages.map((village) => village.name),
  })
}
