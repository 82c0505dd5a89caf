import { vaccinesOf } from '../../core/appointments/next-appointment.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import type { Day } from '../../core/days/day.ts'
import type { Appointment, Child, PlannedDose, Village } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { labelChild } from '../../core/texts/child-label.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import { sayDay } from '../../core/texts/say-day.ts'
import { findChildByCard } from '../../store/children.ts'
import type { Transaction } from '../../store/database.ts'
import { findVillageByName } from '../../store/districts.ts'
import type { Effect } from '../../store/effects.ts'
import type { TextIn } from '../../store/texts.ts'
import type { Deps } from '../deps.ts'
import type { KnownSender } from './sender.ts'

/** Someone being spoken with: who it is, where, and in which words to answer. */
export interface Conversation<Who extends KnownSender = KnownSender> {
  readonly tx: Transaction
  readonly deps: Deps
  readonly sender: Who
  readonly book: PhraseBook
  readonly today: Day
}

/** One text being answered, or what was done by keys and is kept as the text that would have done it. */
export interface Talk<Who extends KnownSender = KnownSender> extends Conversation<Who> {
  readonly text: TextIn
  readonly via: 'sms' | 'ussd'
}

export interface Answer {
  readonly body: string
  /** What was changed and can be taken back; absent where nothing was. */
  readonly effect?: Partial<Effect>
  /** Why it was not done, where that is known only after something was noted. */
  readonly problem?: string
}

/** All that some answers changed; `null`: nothing. */
export function jointEffect(answers: readonly Answer[]): Effect | null {
  const effects = answers.flatMap((answer) => (answer.effect === undefined ? [] : [answer.effect]))
  if (effects.length === 0) return null
  return {
    doseIds: effects.flatMap(({ doseIds = [] }) => doseIds),
    childIds: effects.flatMap(({ childIds = [] }) => childIds),
    entries: effects.flatMap(({ entries = [] }) => entries),
    notGivenIds: effects.flatMap(({ notGivenIds = [] }) => notGivenIds),
    names: effects.flatMap(({ names = [] }) => names),
    statuses: effects.flatMap(({ statuses = [] }) => statuses),
  }
}

/** A day in the sender's language and the district's calendar; a session's with its hours. */
export function inWords({ sender }: Conversation, day: Day, hours: string | null = null): string {
  return sayDay(day, { language: sender.language, calendar: sender.district.calendar, hours })
}

/** How a child is called in this talk: card number, and first name or initials as the district has it. */
export function nameOf(
  { sender }: Conversation,
  child: Pick<Child, 'cardNumber' | 'name'>,
): {
  readonly card: string
  readonly child: string
} {
  return {
    card: formatCardNumber(child.cardNumber),
    child: labelChild(child.name, sender.district.childNaming),
  }
}

/** "OPV 2, PENTA 2". */
export function dosesInWords(doses: readonly PlannedDose[]): string {
  return [...new Set(doses.map(({ series, dose }) => `${series} ${dose}`))].join(', ')
}

/** "BOPV, PENTA": each vaccine once. */
export function vaccinesInWords(doses: readonly PlannedDose[]): string {
  return vaccinesOf(doses).join(', ')
}

/** "Thu 26 Nov, Mbari". */
export function visitInWords(talk: Conversation, appointment: Appointment, village: Village): string {
  return `${inWords(talk, appointment.sessionOn)}, ${village.sessionPlace}`
}

/** The child with this card, in the sender's own district. @throws {Refusal} child-not-found */
export async function childByCard({ tx, sender }: Conversation, card: string): Promise<Child> {
  const child = await findChildByCard(tx, card)
  // A card of another district is none of the sender's business, and is not even said to exist.
  if (child?.districtId === sender.district.id) return child
  throw new Refusal('child-not-found', `No child has card ${formatCardNumber(card)}.`, {
    facts: { word: formatCardNumber(card) },
  })
}

/** @throws {Refusal} village-not-found */
export async function villageByName({ tx, sender }: Conversation, name: string): Promise<Village> {
  const village = await findVillageByName(tx, sender.district.id, name)
  if (village !== undefined) return village
  throw new Refusal('village-not-found', `We know no village ${name}.`, { facts: { word: name } })
}
