import type { District } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import { withOverrides } from '../core/texts/check-phrase-book.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict, setWording } from '../store/districts.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'

export interface Wording {
  readonly districtId: string
  readonly language: string
  /** By phrase key; an empty record goes back to the phrase book. */
  readonly texts: Readonly<Record<string, string>>
  readonly by: string
}

/**
 * Sets how a district words its texts in one language, after the checks that every phrase book passes.
 * @throws {Refusal} language-not-found, wording-unfit (facts: problems)
 */
export async function wordDistrict(tx: Transaction, deps: Deps, wording: Wording): Promise<District> {
  const { districtId, language, texts, by } = wording
  const district = await getDistrict(tx, districtId)
  const book = deps.shelf.books.get(language)
  if (book === undefined) {
    const known = [...deps.shelf.books.keys()].join(', ')
    throw new Refusal('language-not-found', `There is no phrase book in ${language}; there are ${known}.`)
  }
  const checked = withOverrides(book, texts)
  if (checked.kind === 'invalid') {
    throw new Refusal('wording-unfit', checked.problems.join('; '), { facts: { problems: checked.problems } })
  }
  await setWording(tx, districtId, { ...district.wording, [language]: texts })
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: 'word',
    subject: { kind: 'district', id: districtId },
    before: { [language]: JSON.stringify(district.wording[language] ?? {}) },
    after: { [language]: JSON.stringify(texts) },
  })
  return getDistrict(tx, districtId)
}
