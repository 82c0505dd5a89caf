import { currentStep } from '../../core/menus/dialogue.ts'
import type { Dialogue, Step } from '../../core/menus/step.ts'
import type { Caller } from '../../core/menus/view.ts'
import { ownerOf } from '../../core/menus/view-of.ts'
import type { Transaction } from '../../store/database.ts'
import { postNameOf } from '../answering/acts/lists.ts'
import type { KnownSender } from '../answering/sender.ts'
import type { Conversation } from '../answering/talk.ts'
import { todayIn } from '../deps.ts'
import type { Deps } from '../deps.ts'
import { bookFor } from '../shelf.ts'

/** Who holds the phone: a worker, a parent, or both. */
export interface Party {
  readonly tx: Transaction
  readonly deps: Deps
  /** At least one, the first by default. */
  readonly senders: readonly [KnownSender, ...KnownSender[]]
}

/** The one to whom a step belongs, as someone spoken with; the first where it is anyone's. */
export function conversationAt({ tx, deps, senders }: Party, step: Step): Conversation {
  const owner = ownerOf(step)
  const sender = senders.find(({ as }) => as === owner) ?? senders[0]
  const { district, language } = sender
  return { tx, deps, sender, book: bookFor(deps.shelf, district, language), today: todayIn(deps, district) }
}

/** Whether the phone's owner still has the roles that a dialogue's steps belong to. */
export function mayGoOn({ senders }: Party, { steps }: Dialogue): boolean {
  const owners = steps.map(ownerOf).filter((owner) => owner !== null)
  return owners.every((owner) => senders.some(({ as }) => as === owner))
}

/** What the menus know of who dials, at the step where they are. */
export async function callerAt(party: Party, dialogue: Dialogue): Promise<Caller> {
  const conversation = conversationAt(party, currentStep(dialogue))
  const { deps, sender, book, today } = conversation
  const { district } = sender
  const post = sender.kind === 'worker' ? await postNameOf({ ...conversation, sender }) : undefined
  return {
    book,
    today,
    calendar: district.calendar,
    isDayFirst: district.isDayFirst,
    region: district.region,
    place: post ?? district.name,
    languages: district.languages
      .map((language) => bookFor(deps.shelf, district, language))
      .filter(({ language }) => district.languages.includes(language)),
    hasPin: sender.kind === 'worker' && district.pinActs.length > 0,
    hasOwnChildren: sender.kind === 'worker' && party.senders.some(({ kind }) => kind === 'family'),
  }
}
