import { createHash } from 'node:crypto'
import { PIN_CODE_MS } from '../../core/pins/pin-rules.ts'
import { Refusal } from '../../core/refusals.ts'
import { say } from '../../core/texts/phrases.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { getDistrict } from '../../store/districts.ts'
import { findPerson, listPeople } from '../../store/people.ts'
import { holdPin, listPins, putPin } from '../../store/text-pins.ts'
import type { PinOnRecord } from '../../store/text-pins.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { queueText } from '../queue-text.ts'
import { bookFor } from '../shelf.ts'
import { digestOf } from './prove-pin.ts'

export interface PinCode {
  readonly code: string
  readonly until: Date
}

/**
 * Makes a code with which a worker chooses a PIN; an old PIN ends with it, and a lock. The worker is told that it was
 * made, and not the code: that goes from mouth to ear.
 * @throws {Refusal} person-not-found; not-allowed, for one's own
 */
export async function makePinCode(
  tx: Transaction,
  deps: Deps,
  {
    personId,
    districtId,
    by,
  }: { readonly personId: string; readonly districtId: string; readonly by: string },
): Promise<PinCode> {
  const person = await findPerson(tx, personId)
  if (person?.districtId !== districtId || (person.role !== 'vaccinator' && person.role !== 'manager'))
    throw new Refusal('person-not-found', 'No vaccinator or manager of the district has this identifier.')
  if (by === personId)
    throw new Refusal('not-allowed', 'Another manager or an officer makes the code for you: ask one of them.')
  const now = deps.clock.now()
  const code = sixDigits(deps.newSecret())
  const until = new Date(now.getTime() + PIN_CODE_MS)
  await holdPin(tx, personId)
  await putPin(tx, personId, {
    digest: null,
    codeDigest: await digestOf(code, deps.newId()),
    codeUntil: until,
    wrongTries: 0,
    lockedAt: null,
    changedAt: now,
  })
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: 'make-pin-code',
    subject: { kind: 'person', id: personId },
  })
  const district = await getDistrict(tx, districtId)
  const body = say(bookFor(deps.shelf, district, person.language), 'pin-code-made')
  await queueText(tx, deps, { district, person, body, purpose: 'alert', isUrgent: true })
  return { code, until }
}

/** Six digits of a secret of 256 bits: none is likelier than another by more than a trifle. */
function sixDigits(secret: string): string {
  const start = createHash('sha256').update(secret).digest().readUIntBE(0, 6)
  return String(start % 1_000_000).padStart(6, '0')
}

export type PinState = 'none' | 'code-made' | 'chosen' | 'locked'

/** Someone who texts for the programme, and how their PIN stands. */
export interface PersonWithPin {
  readonly id: string
  readonly name: string
  readonly role: string
  readonly phone: string
  readonly pin: PinState
}

/** Vaccinators and managers of a district, by name. */
export async function peopleWithPins(db: Db, deps: Deps, districtId: string): Promise<PersonWithPin[]> {
  const pins = await listPins(db, districtId)
  const now = deps.clock.now()
  return (await listPeople(db, districtId))
    .filter(({ role }) => role === 'vaccinator' || role === 'manager')
    .map(({ id, name, role, phone }) => ({ id, name, role, phone, pin: stateOf(pins.get(id), now) }))
}

function stateOf(pin: PinOnRecord | undefined, now: Date): PinState {
  if (pin === undefined) return 'none'
  if (pin.lockedAt !== null) return 'locked'
  if (pin.digest !== null) return 'chosen'
  return pin.codeUntil !== null && pin.codeUntil > now ? 'code-made' : 'none'
}
