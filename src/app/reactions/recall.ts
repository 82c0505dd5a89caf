import type { Child, District, PhoneLine } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { labelChild } from '../../core/texts/child-label.ts'
import { say } from '../../core/texts/phrases.ts'
import { getChildren } from '../../store/children.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { getDistrict, getVillage } from '../../store/districts.ts'
import { linesOfChild } from '../../store/people.ts'
import { confirmRecall, findRecall, insertRecall } from '../../store/recalls.ts'
import type { RecallOnRecord } from '../../store/recalls.ts'
import { listDosesOfVials, listVialsOfLot } from '../../store/vials.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { bookFor } from '../shelf.ts'
import { queueText } from '../queue-text.ts'

export interface RecallWish {
  readonly districtId: string
  readonly lot: string
  /** Null: whatever the lot's vials were used for. */
  readonly vaccine: string | null
  readonly reason: string
  readonly by: string
}

/** One text of a recall, as it would be sent. */
export interface RecallText {
  readonly number: string
  readonly body: string
}

export interface RecallPlan {
  readonly recall: RecallOnRecord
  readonly texts: readonly RecallText[]
  /** Children whose family no text may reach: to be called or visited. */
  readonly toVisit: readonly Child[]
}

/** Prepares a recall; nothing is sent. */
export async function prepareRecall(tx: Transaction, deps: Deps, wish: RecallWish): Promise<RecallPlan> {
  const { districtId, vaccine, reason, by } = wish
  const lot = wish.lot.trim().toLocaleUpperCase('en')
  const recall = await insertRecall(tx, {
    id: deps.newId(),
    districtId,
    lot,
    vaccine,
    reason,
    preparedBy: by,
    preparedAt: deps.clock.now(),
  })
  await note(tx, deps, recall, { act: 'prepare-recall', by })
  return planOf(tx, deps, recall)
}

/** @throws {Refusal} recall-not-found */
export async function viewRecall(db: Db, deps: Deps, id: string): Promise<RecallPlan> {
  return planOf(db, deps, await getRecall(db, id))
}

/** @throws {Refusal} recall-not-found */
export async function getRecall(db: Db, id: string): Promise<RecallOnRecord> {
  const recall = await findRecall(db, id)
  if (recall === undefined) throw new Refusal('recall-not-found', `There is no recall ${id}.`)
  return recall
}

/** Sends a recall once someone who leads the district has confirmed it. @throws {Refusal} recall-already-confirmed */
export async function sendRecall(
  tx: Transaction,
  deps: Deps,
  { id, by }: { readonly id: string; readonly by: string },
): Promise<RecallPlan> {
  const plan = await viewRecall(tx, deps, id)
  const district = await getDistrict(tx, plan.recall.districtId)
  const texts = plan.texts.length
  if (!(await confirmRecall(tx, id, { by, at: deps.clock.now(), texts })))
    throw new Refusal('recall-already-confirmed', 'This recall was sent before; nothing was sent again.')
  for (const { number, body } of plan.texts)
    await queueText(tx, deps, { district, person: { phone: number }, body, purpose: 'alert' })
  await note(tx, deps, plan.recall, { act: 'confirm-recall', by })
  return { ...plan, recall: await getRecall(tx, id) }
}

async function note(
  tx: Transaction,
  deps: Deps,
  { id, districtId, lot }: RecallOnRecord,
  { act, by }: { readonly act: string; readonly by: string },
): Promise<void> {
  await noteChange(tx, deps, { districtId, actor: by, act, subject: { kind: 'recall', id }, after: { lot } })
}

interface Family {
  readonly line: PhoneLine
  readonly children: Child[]
}

/** One text a line, whatever the number of its children. */
async function planOf(db: Db, deps: Deps, recall: RecallOnRecord): Promise<RecallPlan> {
  const district = await getDistrict(db, recall.districtId)
  const vials = await listVialsOfLot(db, recall.districtId, recall.lot)
  const doses = await listDosesOfVials(
    db,
    vials.map(({ id }) => id),
  )
  const wanted = doses.filter(({ vaccine }) => recall.vaccine === null || vaccine === recall.vaccine)
  const ids = [...new Set(wanted.map(({ childId }) => childId))]
  const families = new Map<string, Family>()
  const toVisit: Child[] = []
  for (const child of await getChildren(db, ids)) {
    const lines = (await linesOfChild(db, child.id)).filter(mayBeTexted)
    if (child.status === 'died') continue
    if (lines.length === 0) toVisit.push(child)
    for (const line of lines) {
      const family = families.get(line.id) ?? { line, children: [] }
      family.children.push(child)
      families.set(line.id, family)
    }
  }
  const texts: RecallText[] = []
  for (const family of families.values()) texts.push(await textFor(db, deps, district, family))
  return { recall, texts, toVisit }
}

function mayBeTexted({ consent, stoppedAt }: PhoneLine): boolean {
  return consent !== 'withdrawn' && stoppedAt === null
}

async function textFor(
  db: Db,
  deps: Deps,
  district: District,
  { line, children }: Family,
): Promise<RecallText> {
  const [first] = children
  if (first === undefined) throw new Error('a family that is recalled has a child')
  const village = await getVillage(db, first.villageId)
  const body = say(bookFor(deps.shelf, district, line.language), 'recall', {
    post: village.postName,
    child: labelChild(first.name, district.childNaming),
    count: children.length,
    place: village.sessionPlace,
  })
  return { number: line.number, body }
}
