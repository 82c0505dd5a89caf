import { timingSafeEqual } from 'node:crypto'
import { MOST_WRONG_TRIES, asksPin } from '../../core/pins/pin-rules.ts'
import type { SingleAct } from '../../core/reading/act.ts'
import { say } from '../../core/texts/phrases.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import { holdPin, putPin } from '../../store/text-pins.ts'
import type { PinOnRecord } from '../../store/text-pins.ts'
import type { Worker } from '../answering/sender.ts'
import type { Conversation } from '../answering/talk.ts'
import { tellPeople } from '../tell-people.ts'
import { noteChange } from '../note-change.ts'
import { slowDigest } from '../slow-digest.ts'

/** Why something that asks for a PIN was not done. */
export interface PinProblem {
  readonly code: 'pin-needed' | 'pin-unset' | 'pin-wrong' | 'pin-locked'
  readonly triesLeft: number
}

/** Whether what a worker wants done may be done with the PIN that was typed; a wrong one is counted. */
export async function provePin(
  conversation: Conversation<Worker>,
  acts: readonly SingleAct[],
  typed: string | null,
): Promise<PinProblem | null> {
  const { tx, sender } = conversation
  if (!acts.some((act) => asksPin(act, sender.district.pinActs))) return null
  const pin = await holdPin(tx, sender.person.id)
  if (pin?.lockedAt != null) return problem('pin-locked', pin)
  if (pin?.digest == null) return problem('pin-unset')
  if (typed === null) return problem('pin-needed', pin)
  return tryPin(conversation, pin, { typed, digest: pin.digest })
}

export function problem(code: PinProblem['code'], pin?: PinOnRecord): PinProblem {
  return { code, triesLeft: Math.max(0, MOST_WRONG_TRIES - (pin?.wrongTries ?? 0)) }
}

/** Compares a PIN or a code that was typed; a right one wipes the wrong tries out, the last wrong one locks. */
export async function tryPin(
  { tx, deps, sender }: Conversation<Worker>,
  pin: PinOnRecord,
  { typed, digest }: { readonly typed: string; readonly digest: string },
): Promise<PinProblem | null> {
  const personId = sender.person.id
  if (await isRight(typed, digest)) {
    if (pin.wrongTries > 0) await putPin(tx, personId, { ...pin, wrongTries: 0 })
    return null
  }
  const wrongTries = pin.wrongTries + 1
  const isLocked = wrongTries >= MOST_WRONG_TRIES
  const now = deps.clock.now()
  const tried = { ...pin, wrongTries, lockedAt: isLocked ? now : null }
  await putPin(tx, personId, tried)
  if (isLocked) await tellLock({ tx, deps, sender })
  return problem(isLocked ? 'pin-locked' : 'pin-wrong', tried)
}

/** A digest as it is kept: salt and scrypt digest. */
export async function digestOf(secret: string, salt: string): Promise<string> {
  return `${salt} ${(await slowDigest(secret, salt)).toString('hex')}`
}

async function isRight(typed: string, kept: string): Promise<boolean> {
  const [salt = ''] = kept.split(' ')
  return timingSafeEqual(Buffer.from(await digestOf(typed, salt)), Buffer.from(kept))
}

async function tellLock({ tx, deps, sender }: Pick<Conversation<Worker>, 'tx' | 'deps' | 'sender'>) {
  const { district, person } = sender
  await noteChange(tx, deps, {
    districtId: district.id,
    actor: person.id,
    act: 'lock-pin',
    subject: { kind: 'person', id: person.id },
  })
  await tellPeople(tx, deps, district, {
    roles: ['manager'],
    say: (book) => say(book, 'pin-lock-notice', { words: person.name }),
    purpose: 'alert',
    isUrgent: true,
  })
}

/** What is to be done about it, in words. */
export function sayPinProblem(book: PhraseBook, { code, triesLeft }: PinProblem): string {
  return code === 'pin-wrong' ? say(book, code, { count: triesLeft }) : say(book, code)
}
