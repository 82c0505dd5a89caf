import { oddReports } from '../../core/operation/sender-limits.ts'
import type { OddReports } from '../../core/operation/sender-limits.ts'
import { say } from '../../core/texts/phrases.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import type { Transaction } from '../../store/database.ts'
import { insertReviewItem } from '../../store/follow-up.ts'
import { countTextsUpTo, hasAside, listDosesOfSender, putAside, wasFlagged } from '../../store/senders.ts'
import type { TextIn } from '../../store/texts.ts'
import type { Deps } from '../deps.ts'
import { tellPeople } from '../tell-people.ts'
import { bookFor } from '../shelf.ts'
import type { KnownSender, Worker } from './sender.ts'

/** A sender's number can be forged and a phone can be lost: what one person can hardly have sent is looked at. */

const MINUTE_MS = 60_000
const HOUR_MS = 60 * MINUTE_MS
/** Told once in that time, however often it happens. */
const TOLD_FOR_MS = 24 * HOUR_MS
/** A number that goes on is not answered again within that time. */
const SILENT_MS = 10 * MINUTE_MS

const TOO_MANY = 'too-many-texts'

/** Whether a number sends more texts in a minute than anyone types; one that a person let pass is not asked again. */
export async function isTooMany(tx: Transaction, deps: Deps, text: TextIn): Promise<boolean> {
  if (text.trouble === TOO_MANY) return false
  const since = new Date(text.receivedAt.getTime() - MINUTE_MS)
  return (await countTextsUpTo(tx, text, since)) > deps.shelf.senderLimits.textsPerMinute
}

/** Keeps a text unread, for a manager to have it read; answers what to reply, the first time only. */
export async function setAside(
  tx: Transaction,
  deps: Deps,
  { text, sender }: { readonly text: TextIn; readonly sender: KnownSender },
): Promise<string | null> {
  const isTold = await hasAside(tx, text, TOO_MANY, new Date(text.receivedAt.getTime() - SILENT_MS))
  await putAside(tx, text.id, TOO_MANY, deps.clock.now())
  return isTold ? null : say(bookFor(deps.shelf, sender.district, sender.language), TOO_MANY)
}

/** Looks at the doses a worker's texts reported in the last hour; what is odd goes to the managers, once a day. */
export async function watchSender(
  {
    tx,
    deps,
    text,
  }: { readonly tx: Transaction; readonly deps: Deps; readonly text: Pick<TextIn, 'id' | 'receivedAt'> },
  sender: Worker,
): Promise<void> {
  const at = text.receivedAt
  const doses = await listDosesOfSender(tx, sender.person.id, new Date(at.getTime() - HOUR_MS))
  for (const odd of oddReports(doses, deps.shelf.senderLimits, at)) {
    const since = new Date(at.getTime() - TOLD_FOR_MS)
    const flag = { districtId: sender.district.id, personId: sender.person.id, kind: odd.kind, since }
    if (!(await wasFlagged(tx, flag))) await putBefore(tx, deps, { textId: text.id, sender, odd })
  }
}

async function putBefore(
  tx: Transaction,
  deps: Deps,
  { textId, sender, odd }: { readonly textId: string; readonly sender: Worker; readonly odd: OddReports },
): Promise<void> {
  const { person, district } = sender
  const says = (book: PhraseBook): string =>
    say(book, `odd-${odd.kind}`, { words: person.name, count: odd.count })
  await insertReviewItem(tx, {
    id: deps.newId(),
    districtId: district.id,
    kind: odd.kind,
    childId: null,
    otherChildId: null,
    lineId: null,
    textInId: textId,
    note: says(bookFor(deps.shelf, district, 'en')),
    createdAt: deps.clock.now(),
  })
  await tellPeople(tx, deps, district, { roles: ['manager'], say: says, purpose: 'alert' })
}
