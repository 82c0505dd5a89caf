/** The advice that families get: its version in each language, and who of the district's clinicians signed it. */
import { createHash } from 'node:crypto'
import { z } from 'zod'
import { checkData } from '../core/checked-data.ts'
import { formatDay } from '../core/days/day.ts'
import type { District } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import { adviceTexts } from '../core/texts/advice.ts'
import type { Db, Transaction } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { hold } from '../store/hold.ts'
import { findSetting, putSetting } from '../store/settings.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'
import { bookFor } from './shelf.ts'

const signOffs = z.array(
  z.object({ language: z.string(), version: z.string(), signedBy: z.string(), signedOn: z.iso.date() }),
)
type SignOff = z.infer<typeof signOffs>[number]

export interface Advice {
  readonly language: string
  /** Changes with any word of the advice. */
  readonly version: string
  readonly texts: Readonly<Record<string, string>>
  /** Who signed this very version; null: nobody yet. */
  readonly signed: Pick<SignOff, 'signedBy' | 'signedOn'> | null
}

/** The advice in each language of a district, as it is worded there now. */
export async function adviceOf(db: Db, deps: Deps, district: District): Promise<readonly Advice[]> {
  const known = await signOffsOf(db, district.id)
  return district.languages.map((language) => {
    const texts = adviceTexts(bookFor(deps.shelf, district, language))
    const version = createHash('sha256').update(JSON.stringify(texts)).digest('hex').slice(0, 12)
    const found = known.find((one) => one.language === language && one.version === version)
    return {
      language,
      version,
      texts,
      signed: found === undefined ? null : { signedBy: found.signedBy, signedOn: found.signedOn },
    }
  })
}

async function signOffsOf(db: Db, districtId: string): Promise<readonly SignOff[]> {
  const kept = checkData(signOffs, await findSetting(db, districtId, 'advice'))
  return kept.kind === 'valid' ? kept.value : []
}

export interface Signing {
  readonly districtId: string
  readonly language: string
  /** As it was read; another one is refused. */
  readonly version: string
  /** Name or office of the clinician. */
  readonly signedBy: string
  readonly by: string
}

/**
 * Keeps that a clinician of the district stands for the advice in one language.
 * @throws {Refusal} language-not-found, advice-changed
 */
export async function signAdvice(tx: Transaction, deps: Deps, signing: Signing): Promise<readonly Advice[]> {
  const { districtId, language, version, signedBy, by } = signing
  // Two who sign at once wait for each other, so that neither signature is lost.
  await hold(tx, [`advice of ${districtId}`])
  const district = await getDistrict(tx, districtId)
  const current = (await adviceOf(tx, deps, district)).find((advice) => advice.language === language)
  if (current === undefined)
    throw new Refusal('language-not-found', `${district.name} does not write in ${language}.`)
  if (current.version !== version)
    throw new Refusal(
      'advice-changed',
      `The advice in ${language} is now version ${current.version}; read it first.`,
    )
  const signOff = { language, version, signedBy, signedOn: formatDay(todayIn(deps, district)) }
  const others = (await signOffsOf(tx, districtId)).filter(
    (one) => one.language !== language || one.version !== version,
  )
  await putSetting(tx, {
    districtId,
    name: 'advice',
    value: [...others, signOff],
    changedBy: by,
    changedAt: deps.clock.now(),
  })
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: 'sign-advice',
    subject: { kind: 'district', id: districtId },
    after: { language, version },
  })
  return adviceOf(tx, deps, district)
}
