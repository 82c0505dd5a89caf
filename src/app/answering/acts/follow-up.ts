import { formatDay } from '../../../core/days/day.ts'
import type { Day } from '../../../core/days/day.ts'
import type { Child } from '../../../core/model.ts'
import type { Reason, SingleAct } from '../../../core/reading/act.ts'
import { Refusal } from '../../../core/refusals.ts'
import { say } from '../../../core/texts/phrases.ts'
import type { PhraseBook } from '../../../core/texts/phrases.ts'
import { insertReviewItem } from '../../../store/follow-up.ts'
import type { Effect } from '../../../store/effects.ts'
import { changeStatus, correctChild } from '../../change-child.ts'
import { noteNotGiven } from '../../note-not-given.ts'
import type { Worker } from '../sender.ts'
import { childByCard, inWords, nameOf } from '../talk.ts'
import type { Answer, Talk } from '../talk.ts'

type OfAct<Name extends SingleAct['act']> = Extract<SingleAct, { act: Name }>

function causeInWords(book: PhraseBook, reason: Reason): string {
  return say(book, `cause-${reason}`)
}

/** VISIT: what became of a child that was looked for; its texts stop, go on or wait accordingly. */
export async function recordVisitByText(talk: Talk<Worker>, act: OfAct<'record-visit'>): Promise<Answer> {
  const { tx, deps, book, sender, today, text } = talk
  const child = await childByCard(talk, act.card)
  const by = sender.person.id
  const reason = [act.reason, act.words].filter((part) => part !== null).join(': ')
  await changeStatus(tx, deps, {
    childId: child.id,
    status: act.outcome,
    on: today,
    reason: reason === '' ? null : reason,
    awayUntil: act.until,
    by,
  })
  const notGivenIds =
    act.outcome === 'active' && act.reason !== null
      ? await noteNotGiven(tx, deps, {
          child,
          vaccines: [],
          reason: act.reason,
          on: today,
          by,
          textInId: text.id,
        })
      : []
  const what = [
    say(book, `outcome-${act.outcome}`),
    ...(act.until === null ? [] : [inWords(talk, act.until)]),
    ...(act.reason === null ? [] : [causeInWords(book, act.reason)]),
  ].join(', ')
  return {
    body: say(book, 'visit-noted', { ...nameOf(talk, child), what }),
    effect: { statuses: [statusOf(child)], notGivenIds },
  }
}

/** How a child is followed, so that a change of it can be taken back. */
function statusOf({ id, status, statusOn, statusReason, awayUntil }: Child): Effect['statuses'][number] {
  const iso = (day: Day | null) => (day === null ? null : formatDay(day))
  return { childId: id, status, on: iso(statusOn), reason: statusReason, awayUntil: iso(awayUntil) }
}

/** NOTGIVEN: a dose that was due and not given, and why; a refused one is not asked for again. */
export async function recordNotGivenByText(
  talk: Talk<Worker>,
  act: OfAct<'record-not-given'>,
): Promise<Answer> {
  const { tx, deps, book, sender, text } = talk
  const child = await childByCard(talk, act.card)
  const { vaccines, reason, date } = act
  const by = sender.person.id
  const notGivenIds = await noteNotGiven(tx, deps, {
    child,
    vaccines,
    reason,
    on: date,
    by,
    textInId: text.id,
  })
  const doses = vaccines.length === 0 ? book.words.allWord : vaccines.join(', ')
  return {
    body: say(book, 'not-given-noted', { ...nameOf(talk, child), doses, reason: causeInWords(book, reason) }),
    effect: { notGivenIds },
  }
}

/**
 * NAME: a baby gets its name; a name that stands on record is changed only after a YES.
 * @throws {Refusal} needs-yes
 */
export async function renameByText(
  talk: Talk<Worker>,
  act: OfAct<'rename-child'>,
  { isConfirmed } = { isConfirmed: false },
): Promise<Answer> {
  const { tx, deps, book, sender } = talk
  const child = await childByCard(talk, act.card)
  if (!isConfirmed && !isNameless(talk, child) && child.name !== act.name) {
    throw new Refusal('needs-yes', say(book, 'rename-ask', { ...nameOf(talk, child), word: act.name }))
  }
  await correctChild(tx, deps, { childId: child.id, name: act.name, by: sender.person.id })
  return {
    body: say(book, 'renamed', nameOf(talk, { ...child, name: act.name })),
    effect: { names: [{ childId: child.id, name: child.name }] },
  }
}

/** Whether a child was enrolled without a name, in whatever language. */
function isNameless({ deps }: Talk, child: Child): boolean {
  return [...deps.shelf.books.values()].some((book) => say(book, 'baby') === child.name)
}

/** DOUBLE: two cards of one child, or doses recorded twice; a person decides. */
export async function flagDoubleByText(talk: Talk<Worker>, act: OfAct<'flag-double'>): Promise<Answer> {
  const { tx, deps, book, text } = talk
  const child = await childByCard(talk, act.card)
  const other: Child | null = act.other === null ? null : await childByCard(talk, act.other)
  await insertReviewItem(tx, {
    id: deps.newId(),
    districtId: child.districtId,
    kind: other === null ? 'dose-twice' : 'double',
    childId: child.id,
    otherChildId: other?.id ?? null,
    lineId: null,
    textInId: text.id,
    note: act.vaccines.length === 0 ? null : act.vaccines.join(', '),
    createdAt: deps.clock.now(),
  })
  return { body: say(book, 'double-noted', { card: nameOf(talk, child).card }) }
}
