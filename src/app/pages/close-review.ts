import { Refusal } from '../../core/refusals.ts'
import { closeReviewItem } from '../../store/follow-up.ts'
import { noteChange } from '../note-change.ts'
import type { DistrictScope } from './district-scope.ts'
import type { Visitor } from './page-session.ts'

/** Notes what a person did about something that waited. @throws {Refusal} review-item-not-found */
export async function closeReview(
  { deps, district }: DistrictScope,
  visitor: Visitor,
  { itemId, outcome }: { readonly itemId: string; readonly outcome: string },
): Promise<void> {
  await deps.database.transaction(async (tx) => {
    const closing = {
      id: itemId,
      districtId: district.id,
      by: visitor.holderId,
      outcome,
      at: deps.clock.now(),
    }
    if (!(await closeReviewItem(tx, closing)))
      throw new Refusal('review-item-not-found', 'Nothing like this waits here; somebody may have done it.')
    await noteChange(tx, deps, {
      districtId: district.id,
      actor: visitor.holderId,
      act: 'close-review',
      subject: { kind: 'review-item', id: itemId },
      after: { outcome },
    })
  })
}
