import { z } from 'zod'
import type { Outcome } from '../../core/menus/dialogue.ts'
import type { Deed } from '../../core/menus/view.ts'
import { write } from '../../core/reading/write.ts'
import type { Refusal } from '../../core/refusals.ts'
import { labelChild } from '../../core/texts/child-label.ts'
import { attempt } from '../../store/attempt.ts'
import { getChild } from '../../store/children.ts'
import { insertTextIn, settleTextIn } from '../../store/texts.ts'
import type { NewTextIn, TextIn } from '../../store/texts.ts'
import { enrolByText } from '../answering/acts/enrol.ts'
import { moveLaterByText } from '../answering/acts/family.ts'
import { reportReactionByText } from '../answering/acts/reactions.ts'
import { discardVialByText, openVialByText } from '../answering/acts/vials.ts'
import { performForFamily, performForWorker } from '../answering/perform.ts'
import { sayRefusal } from '../answering/say-refusal.ts'
import type { Worker } from '../answering/sender.ts'
import { jointEffect } from '../answering/talk.ts'
import type { Answer, Conversation, Talk } from '../answering/talk.ts'
import { watchSender } from '../answering/watch-sender.ts'
import { districtWords } from '../district-words.ts'
import { provePin, sayPinProblem } from '../pins/prove-pin.ts'
import type { ScreenRequest } from '../ports.ts'

/**
 * Does what a screen was told to do, whole or not at all, by the same code as a text. It is kept as the text that
 * would have done it, so that one history tells all and UNDO takes back either.
 */
export async function doDeed(
  conversation: Conversation,
  deed: Deed,
  { gateway, from }: Pick<ScreenRequest, 'gateway' | 'from'>,
): Promise<Outcome> {
  const { tx, deps, sender, book } = conversation
  const { books, english } = await districtWords(tx, deps.shelf, sender.district)
  const unproven = sender.kind === 'worker' ? await pinOutcome({ ...conversation, sender }, deed) : null
  if (unproven !== null) return unproven
  const id = deps.newId()
  const text: NewTextIn = {
    id,
    gateway,
    key: `ussd ${id}`,
    fromNumber: from,
    toNumber: '',
    body: write(deed.act, books.get(book.language) ?? english),
    missingParts: 0,
    isBinary: false,
    receivedAt: deps.clock.now(),
    pin: null,
  }
  const done = await attempt(tx, async () => {
    await insertTextIn(tx, text)
    const unread: TextIn = {
      ...text,
      pin: deed.pin ?? null,
      act: null,
      problem: null,
      effect: null,
      handledAt: null,
      trouble: null,
    }
    const answer = await perform({ ...conversation, text: unread, via: 'ussd' }, deed)
    await settleTextIn(tx, id, {
      districtId: sender.district.id,
      personId: sender.kind === 'worker' ? sender.person.id : null,
      lineId: sender.kind === 'family' ? sender.line.id : null,
      act: deed.act.act,
      problem: answer.problem ?? null,
      effect: jointEffect([answer]),
      handledAt: deps.clock.now(),
    })
    if (sender.kind === 'worker' && reportsDoses(answer)) await watchSender({ tx, deps, text }, sender)
    return answer
  })
  if (done.kind === 'refused') return refused(conversation, done.refusal)
  return { kind: 'done', text: done.value.body, card: await newCard(conversation, done.value) }
}

/** Where a PIN is asked it is asked for; where it is wrong, nothing is done. */
async function pinOutcome(conversation: Conversation<Worker>, { act, pin }: Deed): Promise<Outcome | null> {
  const problem = await provePin(conversation, [act], pin ?? null)
  if (problem === null) return null
  if (problem.code === 'pin-needed') return { kind: 'pin' }
  return { kind: 'refused', text: sayPinProblem(conversation.book, problem) }
}

function perform(talk: Talk, deed: Deed): Promise<Answer> {
  const { act, isKnownToBeNew = false, childId = null, conditions, reason, signs } = deed
  const { sender } = talk
  if (sender.kind === 'family') {
    const own = { ...talk, sender }
    return act.act === 'move-later' ? moveLaterByText(own, childId) : performForFamily(own, act)
  }
  const own = { ...talk, sender }
  switch (act.act) {
    case 'enrol':
      return enrolByText(own, act, { isKnownToBeNew })
    case 'open-vial':
      return openVialByText(own, act, conditions)
    case 'discard-vial':
      return discardVialByText(own, act, reason)
    case 'report-reaction':
      return reportReactionByText(own, act, signs)
    default:
      return performForWorker(own, act)
  }
}

function reportsDoses({ effect }: Answer): boolean {
  return (effect?.doseIds ?? []).length > 0
}

/** The card of a child that was just enrolled. */
async function newCard({ tx }: Conversation, { effect }: Answer): Promise<string | null> {
  const [childId] = effect?.childIds ?? []
  return childId === undefined ? null : (await getChild(tx, childId)).cardNumber
}

const candidates = z.array(z.object({ cardNumber: z.string(), name: z.string() }))

function refused({ book, sender }: Conversation, refusal: Refusal): Outcome {
  if (refusal.code !== 'child-may-exist') return { kind: 'refused', text: sayRefusal(book, refusal) }
  const { childNaming } = sender.district
  const alike = candidates.parse(refusal.facts['candidates'])
  return {
    kind: 'alike',
    children: alike.map(({ cardNumber, name }) => ({
      card: cardNumber,
      child: labelChild(name, childNaming),
    })),
  }
}
