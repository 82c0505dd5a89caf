import { pinFault } from '../../core/pins/pin-rules.ts'
import { say } from '../../core/texts/phrases.ts'
import { holdPin, putPin } from '../../store/text-pins.ts'
import type { PinOnRecord } from '../../store/text-pins.ts'
import type { Worker } from '../answering/sender.ts'
import type { Answer, Talk } from '../answering/talk.ts'
import { noteChange } from '../note-change.ts'
import { digestOf, problem, sayPinProblem, tryPin } from './prove-pin.ts'
import type { PinProblem } from './prove-pin.ts'

/** PIN: a worker chooses a PIN with the code of a manager, or changes it with the old one. */
export async function choosePinByText(talk: Talk<Worker>): Promise<Answer> {
  const wish = wishOf(talk.text.pin)
  if (wish === undefined) return { body: say(talk.book, 'pin-how'), problem: 'pin-unfit' }
  const wrong = await proveWish(talk, wish.proof)
  if (wrong !== null) return { body: sayPinProblem(talk.book, wrong), problem: wrong.code }
  await keepPin(talk, wish.chosen)
  return { body: say(talk.book, 'pin-set') }
}

/** The code or the old PIN, and a new one that is fit; `undefined` where they are not both there. */
function wishOf(typed: string | null): { readonly proof: string; readonly chosen: string } | undefined {
  const [proof, chosen, ...more] = typed?.split(' ') ?? []
  if (proof === undefined || chosen === undefined || more.length > 0 || proof === chosen) return undefined
  return pinFault(chosen) === null ? { proof, chosen } : undefined
}

async function proveWish(talk: Talk<Worker>, proof: string): Promise<PinProblem | null> {
  const pin = await holdPin(talk.tx, talk.sender.person.id)
  if (pin === undefined) return problem('pin-unset')
  if (pin.lockedAt !== null) return problem('pin-locked', pin)
  const digest = proofOf(pin, talk.deps.clock.now())
  return digest === null ? problem('pin-unset', pin) : tryPin(talk, pin, { typed: proof, digest })
}

async function keepPin({ tx, deps, sender }: Talk<Worker>, chosen: string): Promise<void> {
  const { person, district } = sender
  await putPin(tx, person.id, {
    digest: await digestOf(chosen, deps.newId()),
    codeDigest: null,
    codeUntil: null,
    wrongTries: 0,
    lockedAt: null,
    changedAt: deps.clock.now(),
  })
  await noteChange(tx, deps, {
    districtId: district.id,
    actor: person.id,
    act: 'set-pin',
    subject: { kind: 'person', id: person.id },
  })
}

/** What proves that a PIN is its owner's to change: the old one, or a code of which there is time left. */
function proofOf({ digest, codeDigest, codeUntil }: PinOnRecord, now: Date): string | null {
  return digest ?? (codeUntil !== null && codeUntil > now ? codeDigest : null)
}
