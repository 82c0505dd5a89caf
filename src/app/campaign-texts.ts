/** One text to the families of a chosen group: looked at first, sent once a manager confirms. */
import type { Day } from '../core/days/day.ts'
import type { District, PhoneLine } from '../core/model.ts'
import { FAMILY_HEARS } from '../core/reminders/preference.ts'
import { Refusal } from '../core/refusals.ts'
import { say } from '../core/texts/phrases.ts'
import { measure } from '../core/texts/segments.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict, listVillages } from '../store/districts.ts'
import { listDoseHolders } from '../store/follow-lists.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'
import { reachableLines } from './plan-reminders-for.ts'
import { queueText } from './queue-text.ts'
import { bookFor } from './shelf.ts'
import { budgetNow, spendingOf } from './spending.ts'

/** The group, and what it is told in each language of the district. */
export interface CampaignWish {
  readonly districtId: string
  /** Null: every village. */
  readonly villageId: string | null
  readonly bornFrom: Day
  readonly bornTo: Day
  /** Children who lack this dose. */
  readonly series: string
  readonly dose: number
  readonly words: Readonly<Record<string, string>>
  /** False: only counted. */
  readonly isConfirmed: boolean
  readonly by: string
}

export interface CampaignOutcome {
  readonly children: number
  /** Phones that agreed to texts; each is written to once. */
  readonly phones: number
  readonly parts: number
  readonly isSent: boolean
}

/** Larger groups are chosen by village. */
const MOST_CHILDREN = 2000
/** Longer texts cost too much for a group. */
const MOST_PARTS = 2

interface Addressed {
  readonly line: PhoneLine
  readonly body: string
}

/**
 * Counts whom a text would reach and what it would take, and sends it where that is confirmed; it leaves within the
 * hours of the district.
 * @throws {Refusal} campaign-words-missing, campaign-words-long, list-too-long, budget-used-up
 */
export async function textGroup(tx: Transaction, deps: Deps, wish: CampaignWish): Promise<CampaignOutcome> {
  const district = await getDistrict(tx, wish.districtId)
  const { children, addressed } = await addressGroup(tx, deps, district, wish)
  const parts = addressed.reduce((sum, { body }) => sum + measure(body).parts, 0)
  const outcome = { children, phones: addressed.length, parts, isSent: wish.isConfirmed }
  if (!wish.isConfirmed) return outcome
  await refuseUsedUp(tx, deps, district)
  for (const { line, body } of addressed)
    await queueText(tx, deps, { district, person: { phone: line.number }, body })
  const { villageId, series, dose, by } = wish
  await noteChange(tx, deps, {
    districtId: district.id,
    actor: by,
    act: 'text-group',
    subject: { kind: 'district', id: district.id },
    after: { villageId, lacking: `${series} ${dose}`, texts: addressed.length },
  })
  return outcome
}

async function addressGroup(tx: Transaction, deps: Deps, district: District, wish: CampaignWish) {
  const children = await listDoseHolders(tx, { ...wish, hadIt: false, limit: MOST_CHILDREN + 1 })
  if (children.length > MOST_CHILDREN)
    throw new Refusal(
      'list-too-long',
      `More than ${MOST_CHILDREN} children fit; choose one village or fewer birth dates.`,
    )
  const posts = new Map((await listVillages(tx, district.id)).map(({ id, postName }) => [id, postName]))
  const byNumber = new Map<string, Addressed>()
  for (const { childId, villageId } of children) {
    for (const line of await reachableLines(tx, childId)) {
      const hears: readonly string[] = FAMILY_HEARS
      if (!hears.includes(line.preference) || byNumber.has(line.number)) continue
      const post = posts.get(villageId) ?? district.name
      byNumber.set(line.number, { line, body: bodyFor(deps, district, line.language, { post, wish }) })
    }
  }
  return { children: children.length, addressed: [...byNumber.values()] }
}

/** The words between who speaks and how to stop. */
function bodyFor(
  deps: Deps,
  district: District,
  language: string,
  { post, wish }: { readonly post: string; readonly wish: CampaignWish },
): string {
  const book = bookFor(deps.shelf, district, language)
  const words = wish.words[book.language]
  if (words === undefined)
    throw new Refusal(
      'campaign-words-missing',
      `Families of the group read ${book.language}; word the text in it too.`,
    )
  const body = say(book, 'campaign-frame', { post, words })
  const { parts } = measure(body)
  if (parts > MOST_PARTS)
    throw new Refusal(
      'campaign-words-long',
      `In ${book.language} the text takes ${parts} parts; ${MOST_PARTS} are the most.`,
    )
  return body
}

async function refuseUsedUp(tx: Transaction, deps: Deps, district: District): Promise<void> {
  const { share } = await budgetNow(
    tx,
    await spendingOf(tx, deps.shelf, district.id),
    district,
    deps.clock.now(),
  )
  if (share !== null && share >= 1)
    throw new Refusal('budget-used-up', 'The parts of this month are used up; set another budget or wait.')
}
