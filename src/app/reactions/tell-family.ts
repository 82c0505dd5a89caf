import type { Child, District } from '../../core/model.ts'
import type { Reaction } from '../../core/reactions/reaction.ts'
import { labelChild } from '../../core/texts/child-label.ts'
import { say } from '../../core/texts/phrases.ts'
import type { Transaction } from '../../store/database.ts'
import { getVillage } from '../../store/districts.ts'
import { linesOfChild } from '../../store/people.ts'
import type { Deps } from '../deps.ts'
import { bookFor } from '../shelf.ts'
import { queueText } from '../queue-text.ts'

/** Words of a death never go to a family as a text. */
const NOT_TO_BE_TEXTED = 'death'

/** Tells the family of a child with a serious reaction to go to the health centre now; nothing is diagnosed. */
export async function tellFamilyToGo(
  tx: Transaction,
  deps: Deps,
  {
    district,
    child,
    reaction,
  }: { readonly district: District; readonly child: Child; readonly reaction: Reaction },
): Promise<void> {
  if ([...reaction.signs, ...reaction.outcomes].includes(NOT_TO_BE_TEXTED)) return
  const { postName } = await getVillage(tx, child.villageId)
  for (const { number, language, consent, stoppedAt } of await linesOfChild(tx, child.id)) {
    if (consent === 'withdrawn' || stoppedAt !== null) continue
    const book = bookFor(deps.shelf, district, language)
    const label = labelChild(child.name, district.childNaming)
    const body = say(book, 'reaction-go-now', { post: postName, child: label })
    await queueText(tx, deps, {
      district,
      person: { phone: number },
      body,
      purpose: 'alert',
      isUrgent: true,
    })
  }
}
