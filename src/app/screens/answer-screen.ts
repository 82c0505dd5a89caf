import { z } from 'zod'
import {
  beginDialogue,
  currentStep,
  press,
  resumeDialogue,
  settle,
  show,
  withoutPinStep,
} from '../../core/menus/dialogue.ts'
import type { Shown } from '../../core/menus/dialogue.ts'
import { deedOf } from '../../core/menus/pin-views.ts'
import { dialogueSchema } from '../../core/menus/step.ts'
import type { Dialogue } from '../../core/menus/step.ts'
import type { View } from '../../core/menus/view.ts'
import { homeOf, viewOf } from '../../core/menus/view-of.ts'
import { say, sayError } from '../../core/texts/phrases.ts'
import type { Transaction } from '../../store/database.ts'
import { findDialogue, putDialogue } from '../../store/dialogues.ts'
import type { StoredDialogue } from '../../store/dialogues.ts'
import { hold } from '../../store/hold.ts'
import { keyedKey } from '../../store/text-pins.ts'
import { sendersOf } from '../answering/sender.ts'
import type { Deps } from '../deps.ts'
import type { ScreenAnswer, ScreenRequest } from '../ports.ts'
import { bookFor, bookOf } from '../shelf.ts'
import { doDeed } from './do-deed.ts'
import { findFacts } from './find-facts.ts'
import { callerAt, conversationAt, mayGoOn } from './speak.ts'
import type { Party } from './speak.ts'

/** A dialogue that nobody touches for this long is over; dialled again before, it goes on where it broke off. */
export const DIALOGUE_IDLE_MS = 10 * 60_000

/**
 * Answers one step of a USSD dialogue. What a key does and the dialogue it leads to are stored in one transaction,
 * so that a key lost on the way has done nothing, and one whose answer was lost has done all.
 */
export async function answerScreen(deps: Deps, request: ScreenRequest): Promise<ScreenAnswer> {
  try {
    return await deps.database.transaction((tx) => answer(tx, deps, request))
  } catch (error) {
    deps.log.error('a screen could not be answered', { gateway: request.gateway, error })
    return { text: say(bookOf(deps.shelf, 'en'), 'screen-trouble'), ends: true }
  }
}

async function answer(tx: Transaction, deps: Deps, request: ScreenRequest): Promise<ScreenAnswer> {
  // A phone has one dialogue; a key that the network brings twice waits for the first.
  await hold(tx, [`dialogue of ${request.from}`])
  const [sender, ...others] = await sendersOf(tx, { gateway: request.gateway, number: request.from })
  // An unknown number learns nothing.
  if (sender === undefined) return { text: sayError(bookOf(deps.shelf, 'en'), 'unknown-sender'), ends: true }
  const turned = await turn({ tx, deps, senders: [sender, ...others] }, request)
  if (turned !== undefined) return turned
  return { text: say(bookFor(deps.shelf, sender.district, sender.language), 'screen-over'), ends: true }
}

/** The next screen, stored; `undefined` where there is no dialogue to press a key in. */
async function turn(party: Party, request: ScreenRequest): Promise<ScreenAnswer | undefined> {
  const { gateway, dialogue: id, from: number } = request
  // A key may hold all that was typed, a PIN too.
  const key = request.key === undefined ? null : keyedKey(party.tx, request.key)
  const now = party.deps.clock.now()
  const stored = await findDialogue(party.tx, number, new Date(now.getTime() - DIALOGUE_IDLE_MS))
  const last = readState(stored)
  const own = stored?.gateway === gateway && stored.id === id ? last : undefined
  if (own !== undefined && own.key !== null && own.key === key) {
    return { text: own.dialogue.shown, ends: own.dialogue.isOver }
  }
  const turned = request.isFirst
    ? await begun(party, last?.dialogue)
    : await pressed(party, own?.dialogue, request)
  if (turned === undefined) return undefined
  const state: State = { dialogue: turned.dialogue, key }
  await putDialogue(party.tx, { gateway, id, number, state, updatedAt: now })
  return { text: turned.text, ends: turned.ends }
}

const stateSchema = z.object({
  dialogue: dialogueSchema,
  /** By which the network would repeat the last step. */
  key: z.string().nullable(),
})
type State = z.infer<typeof stateSchema>

/** A state of another release may not be understood; the dialogue then begins anew. */
function readState(stored: StoredDialogue | undefined): State | undefined {
  return stateSchema.safeParse(stored?.state).data
}

async function begun(party: Party, last: Dialogue | undefined): Promise<Shown> {
  const home = homeOf(party.senders[0].as)
  const mayResume = last !== undefined && mayGoOn(party, last)
  return shown(party, mayResume ? resumeDialogue(last, home) : beginDialogue(home))
}

/** What a key comes to; `undefined` where there is no dialogue to press it in. */
async function pressed(
  party: Party,
  dialogue: Dialogue | undefined,
  request: ScreenRequest,
): Promise<Shown | undefined> {
  if (dialogue === undefined || !mayGoOn(party, dialogue)) return undefined
  const conversation = conversationAt(party, currentStep(dialogue))
  const next = press(dialogue, request.typed, await viewAt(party, dialogue), conversation.book)
  if (next.kind === 'moved') return shown(party, next.dialogue)
  const outcome = await doDeed(conversation, next.deed, request)
  const settled = settle(dialogue, outcome)
  // What was done may have changed the language.
  const [sender, ...others] = await sendersOf(party.tx, { gateway: request.gateway, number: request.from })
  return sender === undefined ? undefined : shown({ ...party, senders: [sender, ...others] }, settled)
}

async function shown(party: Party, dialogue: Dialogue): Promise<Shown> {
  const { book } = conversationAt(party, currentStep(dialogue))
  return show(dialogue, await viewAt(party, dialogue), book)
}

async function viewAt(party: Party, dialogue: Dialogue): Promise<View> {
  const step = currentStep(dialogue)
  const facts =
    step.step === 'pin'
      ? deedOf(await viewAt(party, withoutPinStep(dialogue)))
      : await findFacts(conversationAt(party, step), step)
  return viewOf(step, facts, await callerAt(party, dialogue))
}
