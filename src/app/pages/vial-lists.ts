import { addDays, addMonths } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { startOfDay } from '../../core/days/day-bounds.ts'
import { Refusal } from '../../core/refusals.ts'
import { vialWaste } from '../../core/supplies/vial-wastage.ts'
import type { VialWaste } from '../../core/supplies/vial-wastage.ts'
import { getChildren } from '../../store/children.ts'
import { listHealthPosts } from '../../store/districts.ts'
import { countDosesWithoutVial, listDoubtfulDoses, listVialsOpened, reviewDose } from '../../store/vials.ts'
import type { DoubtfulDose } from '../../store/vials.ts'
import { noteChange } from '../note-change.ts'
import { vialsNow } from '../vials/vial-shelf.ts'
import type { VialNow } from '../vials/vial-shelf.ts'
import { vialsInUse } from '../vials/view-vial.ts'
import type { DistrictScope } from './district-scope.ts'
import type { Visitor } from './page-session.ts'

/** An opened vial and where it is. */
export interface VialAtPost extends VialNow {
  readonly post: string
  readonly isPast: boolean
}

/** A dose with a doubt about its vial, and whose it is. */
export interface DoubtfulDoseOfChild extends DoubtfulDose {
  readonly cardNumber: string
  readonly name: string
}

/** What a manager reads of opened vials. */
export interface VialLists {
  readonly inUse: readonly VialAtPost[]
  readonly doubtful: readonly DoubtfulDoseOfChild[]
  /** Since the day `withoutVialFrom`. */
  readonly withoutVial: readonly { readonly vaccine: string; readonly doses: number }[]
  readonly withoutVialFrom: Day
  readonly waste: readonly VialWaste[]
  readonly wasteFrom: Day
}

const WITHOUT_VIAL_DAYS = 28
const WASTE_MONTHS = 12
const MOST_ROWS = 200

/** Opened vials, doses to look at, and what was wasted. */
export async function vialLists(scope: DistrictScope): Promise<VialLists> {
  const { db, deps, district, today, now } = scope
  const posts = new Map((await listHealthPosts(db, district.id)).map(({ id, name }) => [id, name]))
  const inUse = await vialsInUse(db, deps, { districtId: district.id, postId: null })
  const withoutVialFrom = addDays(today, -WITHOUT_VIAL_DAYS)
  const wasteFrom = addMonths(today, -WASTE_MONTHS)
  return {
    inUse: inUse.map((each) => ({
      ...each,
      post: posts.get(each.vial.postId ?? '') ?? '',
      isPast: now > each.vial.discardBy.at,
    })),
    doubtful: await withChildren(scope, await listDoubtfulDoses(db, district.id, MOST_ROWS)),
    withoutVial: await countDosesWithoutVial(db, district.id, withoutVialFrom),
    withoutVialFrom,
    waste: await wasteSince(scope, wasteFrom),
    wasteFrom,
  }
}

async function withChildren(
  { db }: DistrictScope,
  doses: readonly DoubtfulDose[],
): Promise<readonly DoubtfulDoseOfChild[]> {
  const children = new Map(
    (
      await getChildren(
        db,
        doses.map(({ childId }) => childId),
      )
    ).map((child) => [child.id, child]),
  )
  return doses.flatMap((dose) => {
    const child = children.get(dose.childId)
    return child === undefined ? [] : [{ ...dose, cardNumber: child.cardNumber, name: child.name }]
  })
}

/** What the opened vials of a district wasted since a day, by vaccine. */
async function wasteSince(scope: DistrictScope, from: Day): Promise<readonly VialWaste[]> {
  const { db, deps, district, now } = scope
  const opened = await listVialsOpened(db, district.id, startOfDay(from, district.timeZone), now)
  const vials = await vialsNow(db, deps.shelf, opened)
  return vialWaste(
    vials.map(({ vial, open }) => ({ vaccine: vial.vaccine, open })),
    now,
  )
}

/** Notes that a manager has looked at a dose and its vial. @throws {Refusal} dose-not-found */
export async function lookedAtDose(scope: DistrictScope, visitor: Visitor, doseId: string): Promise<void> {
  const { deps, district, now } = scope
  await deps.database.transaction(async (tx) => {
    const by = visitor.holderId
    if (!(await reviewDose(tx, { districtId: district.id, doseId, by, at: now })))
      throw new Refusal('dose-not-found', `${district.name} has no such dose to look at.`)
    await noteChange(tx, deps, {
      districtId: district.id,
      actor: by,
      act: 'review-vial-dose',
      subject: { kind: 'dose', id: doseId },
    })
  })
}
