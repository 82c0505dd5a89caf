/** One text to the families of a chosen group: looked at first, sent once a manager confirms. */
import type { District, PhoneLine } from '../core/model.ts'
import { FAMILY_HEARS } from '../core/reminders/preference.ts'
import { Refusal } from '../core/refusals.ts'
import { say } from '../core/texts/phrases.ts'
import { measure } from '../core/texts/segments.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict, listVillages } from '../store/districts.ts'
import { listDoseHolders } from '../store/follow-lists.ts'
import type { HoldersAsked } from '../store/follow-lists.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'
import { reachableLines } from './plan-reminders-for.ts'
import { queueText } from './queue-text.ts'
import { sheetOf } from './count-children.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'
import { bookFor } from './shelf.ts'
import { budgetNow, spendingOf } from './spending.ts'

/** The group, children who lack the dose, and what it is told in each language of the district. */
export interface GroupWish extends Omit<HoldersAsked, 'hadIt' | 'limit'> {
  readonly words: Readonly<Record<string, string>>
  /** False: only counted. */
  readonly isConfirmed: boolean
  readonly by: string
}

export interface GroupOutcome {
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
 * @throws {Refusal} group-words-missing, group-words-long, list-too-long, budget-used-up
 */
export async function textGroup(tx: Transaction, deps: Deps, wish: GroupWish): Promise<GroupOutcome> {
  const district = await getDistrict(tx, wish.districtId)
  await refuseUnknownDose(tx, deps, district, wish)
  const { children, addressed } = await addressGroup(tx, deps, district, wish)
  const parts = addressed.reduce((sum, { body }) => sum + measure(body).parts, 0)
  const outcome = { children, phones: addressed.length, parts, isSent: wish.isConfirmed }
  if (!wish.isConfirmed) return outcome
  await refuseUsedUp(tx, deps, district, parts)
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

async function addressGroup(tx: Transaction, deps: Deps, district: District, wish: GroupWish) {
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
  { post, wish }: { readonly post: string; readonly wish: GroupWish },
): string {
  const book = bookFor(deps.shelf, district, language)
  const words = wish.words[book.language]
  if (words === undefined)
    throw new Refusal(
      'group-words-missing',
      `Families of the group read ${book.language}; word the text in it too.`,
    )
  const body = say(book, 'group-frame', { post, words })
  const { parts } = measure(body)
  if (parts > MOST_PARTS)
    throw new Refusal(
      'group-words-long',
      `In ${book.language} the text takes ${parts} parts; ${MOST_PARTS} are the most.`,
    )
  return body
}

/** A dose that no schedule has would be lacked by everybody. */
async function refuseUnknownDose(
  tx: Transaction,
  deps: Deps,
  { scheduleCode }: District,
  { series, dose }: GroupWish,
): Promise<void> {
  const schedule = newestOf(await versionsOf(tx, deps.shelf, scheduleCode))
  const known = sheetOf(deps.shelf, schedule).doses
  if (known.some((each) => each.series === series && each.dose === dose)) return
  const names = known.map((each) => `${each.series} ${each.dose}`).join(', ')
  throw new Refusal('group-dose-unknown', `The schedule has no ${series} ${dose}; it has ${names}.`)
}

async function refuseUsedUp(tx: Transaction, deps: Deps, district: District, parts: number): Promise<void> {
  const spending = await spendingOf(tx, deps.shelf, district.id)
  const used = (await budgetNow(tx, spending, district, deps.clock.now())).parts
  const most = spending.partsPerMonth
  if (most !== null && used + parts > most)
    throw new Refusal(
      'budget-used-up',
      `This takes ${parts} parts and ${used} of the month's ${most} are used; set another budget or wait.`,
    )
}
