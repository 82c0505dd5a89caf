import { isReadProblem } from '../../core/reading/act.ts'
import type { SingleAct } from '../../core/reading/act.ts'
import type { Refusal } from '../../core/refusals.ts'
import { measure } from '../../core/texts/segments.ts'
import { isTextErrorCode, sayError } from '../../core/texts/phrases.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import { sayProblem } from '../../core/reading/say-problem.ts'
import { bookOf as bookOfWords } from '../../core/reading/vocabulary.ts'
import { dayAt } from '../../core/days/zoned-time.ts'
import { startOfDay } from '../../core/days/day-bounds.ts'
import { attempt } from '../../store/attempt.ts'
import type { Transaction } from '../../store/database.ts'
import { noteTextInTrouble } from '../../store/dead-letters.ts'
import {
  countProblems,
  claimTextIn,
  findReplyToSame,
  insertTextOut,
  isOwnText,
  settleTextIn,
} from '../../store/texts.ts'
import type { NewTextOut, TextIn } from '../../store/texts.ts'
import type { Deps } from '../deps.ts'
import { districtWords } from '../district-words.ts'
import { noteHandedOut } from '../audit/note-handed-out.ts'
import { provePin, sayPinProblem } from '../pins/prove-pin.ts'
import { bookFor, bookOf } from '../shelf.ts'
import { canPerform, performForFamily, performForWorker } from './perform.ts'
import type { Outcome } from './outcome.ts'
import { passOn } from './pass-on.ts'
import { readAs } from './read-as.ts'
import { sayRefusal } from './say-refusal.ts'
import { sendersOf } from './sender.ts'
import type { KnownSender, Worker } from './sender.ts'
import { jointEffect } from './talk.ts'
import type { Answer, Talk } from './talk.ts'
import { isTooMany, setAside, watchSender } from './watch-sender.ts'

const E164 = /^\+[1-9]\d{6,14}$/
const ECHO_MS = 24 * 3_600_000
/** A reply that comes later than this confuses more than it helps. */
const REPLY_MS = 24 * 3_600_000
/** A number that cannot be understood so often in an hour is answered no more: it may be a machine. */
const MOST_PROBLEMS = 5
const HOUR_MS = 3_600_000
const REPEAT_MS = 2 * 60_000
/** With pauses that double, some four minutes: whatever passes by itself has passed by then. */
const MOST_TRIES = 8

/**
 * Reads a stored text, does what it asks and stores the one reply, all in one transaction: a crash at any point
 * leaves the text unread, and it is read again.
 */
export async function answerText(deps: Deps, textInId: string): Promise<void> {
  try {
    const reply = await deps.database.transaction(async (tx) => {
      const text = await claimTextIn(tx, textInId)
      return text === undefined ? null : handle(tx, deps, text)
    })
    if (reply !== null) await deps.conveyor.sendText(reply)
  } catch (error) {
    await noteTrouble(deps, textInId, error)
  }
}

/** A text whose answering always fails must not be tried for ever: after some tries it waits for a person. */
async function noteTrouble({ database, clock, log }: Deps, textInId: string, error: unknown): Promise<void> {
  const trouble = error instanceof Error ? error.name : 'failure'
  const isParked = await noteTextInTrouble(database.db, textInId, {
    trouble,
    at: clock.now(),
    mostTries: MOST_TRIES,
  })
  log.error(isParked ? 'a text could not be answered and waits for a person' : 'answering a text failed', {
    textInId,
    error,
  })
}

async function handle(
  tx: Transaction,
  deps: Deps,
  text: TextIn,
): Promise<{ readonly id: string; readonly number: string } | null> {
  const senders = await sendersOf(tx, { gateway: text.gateway, number: text.fromNumber })
  const [sender] = senders
  if (sender !== undefined && (await isTooMany(tx, deps, text))) {
    const reply = await setAside(tx, deps, { text, sender })
    // Read later on, the text still gets an answer of its own.
    return reply === null ? null : storeReply({ tx, deps, text }, sender, { body: reply, inReplyTo: null })
  }
  const outcome =
    sender === undefined
      ? await forStranger(tx, deps, text)
      : await forKnown({ tx, deps, text, senders }, sender)
  await settle({ tx, deps, text }, sender, outcome)
  if (outcome.reply === null || (await isTalkingToItself(tx, text, outcome))) return null
  return storeReply({ tx, deps, text }, sender, { body: outcome.reply, inReplyTo: text.id })
}

async function storeReply(
  { tx, deps, text }: Pick<Incoming, 'tx' | 'deps' | 'text'>,
  sender: KnownSender | undefined,
  { body, inReplyTo }: Pick<NewTextOut, 'body' | 'inReplyTo'>,
): Promise<{ readonly id: string; readonly number: string }> {
  const now = deps.clock.now()
  const id = deps.newId()
  await insertTextOut(tx, {
    id,
    districtId: sender?.district.id ?? null,
    number: text.fromNumber,
    body,
    purpose: 'reply',
    isUrgent: true,
    parts: measure(body).parts,
    inReplyTo,
    createdAt: now,
    sendAt: now,
    usefulUntil: new Date(now.getTime() + REPLY_MS),
  })
  return { id, number: text.fromNumber }
}

/** The text is at its end: who sent it, what it meant and did. */
async function settle(
  { tx, deps, text }: Pick<Incoming, 'tx' | 'deps' | 'text'>,
  sender: KnownSender | undefined,
  outcome: Outcome,
): Promise<void> {
  await settleTextIn(tx, text.id, {
    districtId: sender?.district.id ?? null,
    personId: sender?.kind === 'worker' ? sender.person.id : null,
    lineId: sender?.kind === 'family' ? sender.line.id : null,
    act: outcome.act,
    problem: outcome.problem,
    effect: outcome.effect,
    handledAt: deps.clock.now(),
  })
  if (sender?.kind !== 'worker') return
  await noteAsked({ tx, deps, text }, sender, outcome)
  if ((outcome.effect?.doseIds ?? []).length > 0) await watchSender({ tx, deps, text }, sender)
}

/** Keeps what a worker asked for or did, for the record of who saw or changed what. */
async function noteAsked(
  { tx, deps, text }: Pick<Incoming, 'tx' | 'deps' | 'text'>,
  { person, district }: Worker,
  { act, problem, reply }: Outcome,
): Promise<void> {
  const change = {
    districtId: district.id,
    actor: person.id,
    act: problem === null ? 'text' : 'refused',
    subject: { kind: 'text', id: text.id },
    after: { asked: act, problem },
  }
  await noteHandedOut(tx, deps, change, reply ?? '')
}

/** Two machines could answer each other for ever: after a few texts that mean nothing a number is left alone. */
async function isTalkingToItself(tx: Transaction, text: TextIn, { problem }: Outcome): Promise<boolean> {
  if (problem === null) return false
  const since = new Date(text.receivedAt.getTime() - HOUR_MS)
  return (await countProblems(tx, text.fromNumber, since)) > MOST_PROBLEMS
}

/** An unknown number learns nothing, not even whether a child exists; a name or short code gets no reply at all. */
async function forStranger(tx: Transaction, deps: Deps, text: TextIn): Promise<Outcome> {
  const problem = 'unknown-sender'
  if (!E164.test(text.fromNumber) || (await isEcho(tx, deps, text))) return silence(problem)
  return { reply: sayError(bookOf(deps.shelf, 'en'), problem), act: null, problem, effect: null }
}

function silence(problem: string): Outcome {
  return { reply: null, act: null, problem, effect: null }
}

function isEcho(tx: Transaction, deps: Deps, text: TextIn): Promise<boolean> {
  return isOwnText(tx, text.fromNumber, text.body, new Date(deps.clock.now().getTime() - ECHO_MS))
}

interface Incoming {
  readonly tx: Transaction
  readonly deps: Deps
  readonly text: TextIn
  readonly senders: readonly KnownSender[]
}

async function forKnown({ tx, deps, text, senders }: Incoming, sender: KnownSender): Promise<Outcome> {
  if (await isEcho(tx, deps, text)) return silence('echo')
  // A text is about the day it came, however late it is read.
  const today = dayAt(text.receivedAt, sender.district.timeZone)
  const since = startOfDay(today, sender.district.timeZone)
  const moments = { since, justBefore: new Date(text.receivedAt.getTime() - REPEAT_MS) }
  const before = await findReplyToSame(tx, text, moments)
  if (before !== undefined) return { reply: before, act: null, problem: 'repeated', effect: null }

  const book = bookFor(deps.shelf, sender.district, sender.language)
  if (text.isBinary || text.missingParts > 0) return problemOutcome('not-understood', book)
  for (const as of senders) {
    const words = bookFor(deps.shelf, as.district, as.language)
    const outcome = await answerAs(
      { tx, deps, text, via: 'sms', sender: as, book: words, today },
      as === senders.at(-1),
    )
    if (outcome !== null) return outcome
  }
  return problemOutcome('not-understood', book)
}

/** A worker may also be a parent: what the one may not send (`null`), the other perhaps may. */
async function answerAs(talk: Talk, isLast: boolean): Promise<Outcome | null> {
  const { deps, sender, today } = talk
  const reading = await readAs(talk, talk.text.body)
  if (isReadProblem(reading)) {
    if (reading.code === 'role-not-allowed' && !isLast) return null
    if (sender.kind === 'family' && reading.code === 'not-understood') return passOn({ ...talk, sender })
    const keywords = bookOfWords(await districtWords(talk.tx, deps.shelf, sender.district), sender.language)
    const reply = sayProblem(reading, { phrases: talk.book, keywords, today })
    return { reply, act: null, problem: reading.code, effect: null }
  }
  const acts = reading.act === 'several' ? reading.acts : [reading]
  const notOffered = acts.find((act) => !canPerform(sender, act))
  if (notOffered !== undefined) return isLast ? notOfferedOutcome(talk, notOffered) : null
  return (await pinOutcome(talk, acts, reading.act)) ?? perform(talk, acts, reading.act)
}

/** Where a PIN is asked and not there, nothing of the text is done. */
async function pinOutcome(
  talk: Talk,
  acts: readonly SingleAct[],
  act: Outcome['act'],
): Promise<Outcome | null> {
  const { sender, text, book } = talk
  const problem = sender.kind === 'worker' ? await provePin({ ...talk, sender }, acts, text.pin) : null
  return problem === null
    ? null
    : { reply: sayPinProblem(book, problem), act, problem: problem.code, effect: null }
}

function problemOutcome(problem: string, book: PhraseBook): Outcome {
  const code = isTextErrorCode(problem) ? problem : 'not-understood'
  return { reply: sayError(book, code), act: null, problem, effect: null }
}

/** What is understood but not done here is said so, and nothing of the text is done. */
async function notOfferedOutcome({ tx, deps, sender, book }: Talk, { act }: SingleAct): Promise<Outcome> {
  const words = await districtWords(tx, deps.shelf, sender.district)
  const [word = ''] = bookOfWords(words, sender.language).acts[act]
  const shown = word.toLocaleUpperCase(sender.language)
  return {
    reply: sayError(book, 'role-not-allowed', { word: shown }),
    act,
    problem: 'not-offered',
    effect: null,
  }
}

/** Does all that a text says or nothing of it, so that it can be sent again as a whole. */
async function perform(talk: Talk, acts: readonly SingleAct[], name: Outcome['act']): Promise<Outcome> {
  const attempted = await attempt(talk.tx, async () => {
    const answers: Answer[] = []
    for (const act of acts) answers.push(await performOne(talk, act))
    return answers
  })
  if (attempted.kind === 'refused') return refusedOutcome(talk.book, name, attempted.refusal)
  const answers = attempted.value
  const reply = answers.map((answer) => answer.body).join('\n')
  const problem = answers.find((answer) => answer.problem !== undefined)?.problem ?? null
  return { reply, act: name, problem, effect: jointEffect(answers) }
}

function performOne(talk: Talk, act: SingleAct): Promise<Answer> {
  const { sender } = talk
  return sender.kind === 'worker'
    ? performForWorker({ ...talk, sender }, act)
    : performForFamily({ ...talk, sender }, act)
}

function refusedOutcome(book: PhraseBook, act: Outcome['act'], refusal: Refusal): Outcome {
  const choices = refusal.code === 'child-may-exist' ? [book.words.yesWord] : []
  return { reply: sayRefusal(book, refusal, choices), act, problem: refusal.code, effect: null }
}
