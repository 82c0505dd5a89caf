import type { SingleAct } from '../../../core/reading/act.ts'
import { say } from '../../../core/texts/phrases.ts'
import type { VialConditions } from '../../../core/vials/conditions.ts'
import type { DiscardReason } from '../../../core/vials/discard-reason.ts'
import type { Vial } from '../../../core/vials/vial.ts'
import { throwAway } from '../../vials/discard-vial.ts'
import { openVial } from '../../vials/open-vial.ts'
import { untilInWords } from '../../vials/until.ts'
import { getVialTyped } from '../../vials/view-vial.ts'
import type { Worker } from '../sender.ts'
import type { Answer, Conversation, Talk } from '../talk.ts'

type OfAct<Name extends SingleAct['act']> = Extract<SingleAct, { act: Name }>

/** How a vial is spoken of: its number, what is in it, until when. */
function vialFacts({ sender }: Conversation, { number, vaccine, discardBy }: Vial) {
  const until = untilInWords(sender.district, sender.language, discardBy.at)
  return { vial: String(number), vaccine, until }
}

/** OPENED: registers the vial and says until when it may be used, or why it must not be used at all. */
export async function openVialByText(
  talk: Talk<Worker>,
  act: OfAct<'open-vial'>,
  conditions: VialConditions | null = null,
): Promise<Answer> {
  const { tx, deps, sender, text, via, book } = talk
  const vial = await openVial(tx, deps, {
    district: sender.district,
    postId: sender.person.postId,
    vaccine: act.vaccine,
    product: null,
    lot: act.lot,
    maker: null,
    expiryOn: act.expiry,
    openedAt: text.receivedAt,
    conditions,
    by: sender.person.id,
    via,
    textInId: text.id,
  })
  const what = `${vial.number} ${vial.vaccine} ${vial.lot}`
  return {
    body: say(book, 'vial-opened', vialFacts(talk, vial)),
    effect: { entries: [{ kind: 'vial', id: vial.id, what }] },
  }
}

/** DISCARD: notes that a vial was thrown away, and why. */
export async function discardVialByText(
  talk: Talk<Worker>,
  act: OfAct<'discard-vial'>,
  reason: DiscardReason | null = null,
): Promise<Answer> {
  const { tx, deps, sender, text, book } = talk
  const vial = await getVialTyped(tx, sender.district.id, act.vial)
  await throwAway(tx, deps, {
    vial,
    words: act.why,
    reason,
    at: text.receivedAt,
    by: sender.person.id,
  })
  const what = `${vial.number} ${vial.vaccine}`
  return {
    body: say(book, 'vial-discarded', vialFacts(talk, vial)),
    effect: { entries: [{ kind: 'discard', id: vial.id, what }] },
  }
}
