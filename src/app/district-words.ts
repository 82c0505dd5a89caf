import type { District } from '../core/model.ts'
import type { NamedVaccine, Vocabulary } from '../core/reading/vocabulary.ts'
import { Refusal } from '../core/refusals.ts'
import type { Db } from '../store/database.ts'
import { versionsOf } from './schedule-versions.ts'
import type { Shelf } from './shelf.ts'

/** The vaccines of every version of a district's schedule, also of those published since the release. */
export async function districtVaccines(
  db: Db,
  shelf: Shelf,
  { scheduleCode }: Pick<District, 'scheduleCode'>,
): Promise<readonly NamedVaccine[]> {
  const vaccines = new Map<string, NamedVaccine>()
  for (const version of await versionsOf(db, shelf, scheduleCode)) {
    for (const { code, name, words } of version.vaccines.values())
      vaccines.set(code, { code, words: [name, ...words] })
  }
  return [...vaccines.values()]
}

/** The words that are understood in a district. */
export async function districtWords(db: Db, shelf: Shelf, district: District): Promise<Vocabulary> {
  return shelf.vocabularyOf(district, await districtVaccines(db, shelf, district))
}

/**
 * A vaccine outside the district's schedule is kept on record and counts nowhere; a word that is no vaccine is not.
 * @throws {Refusal} vaccine-unknown
 */
export async function refuseUnknownVaccines(
  db: Db,
  shelf: Shelf,
  district: Pick<District, 'scheduleCode'>,
  vaccines: readonly string[],
): Promise<void> {
  if (vaccines.every((vaccine) => shelf.vaccineCodes.has(vaccine))) return
  const own = (await districtVaccines(db, shelf, district)).map(({ code }) => code)
  const known = new Set([...shelf.vaccineCodes, ...own])
  const unknown = vaccines.filter((vaccine) => !known.has(vaccine))
  if (unknown.length === 0) return
  const word = unknown.join(', ')
  throw new Refusal('vaccine-unknown', `${word} is not known; known are ${[...known].join(', ')}.`, {
    facts: { word },
  })
}
