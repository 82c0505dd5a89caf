/** Ways into the pages: a code sent to a registered phone, a link an operator makes, an API token. */
import { timingSafeEqual } from 'node:crypto'
import type { Person } from '../../core/model.ts'
import { parsePhoneNumber } from '../../core/phone-number.ts'
import { Refusal } from '../../core/refusals.ts'
import { asciiDigits } from '../../core/reading/clean-text.ts'
import { say } from '../../core/texts/phrases.ts'
import { measure } from '../../core/texts/segments.ts'
import type { Transaction } from '../../store/database.ts'
import { getDistrict, listDistricts } from '../../store/districts.ts'
import {
  countSignInTries,
  forgetSignInCodes,
  insertSignInCode,
  insertSignInLink,
  takeSignInTry,
  useSignInCode,
  useSignInLink,
} from '../../store/page-sessions.ts'
import { findPersonByPhone } from '../../store/people.ts'
import { insertTextOut } from '../../store/texts.ts'
import type { Deps } from '../deps.ts'
import { bookFor } from '../shelf.ts'
import { slowDigest } from '../slow-digest.ts'
import { digest, principalOf } from '../tokens.ts'
import { isPageRole, openPageSession } from './page-session.ts'

/** Chance, for what must not be guessed. */
export interface Secrets {
  readonly newSecret: () => string
  /** Six digits. */
  readonly newCode: () => string
}

const MINUTE_MS = 60_000
const CODE_LIFE_MS = 10 * MINUTE_MS
/** Wrong tries of a number after which its codes let nobody in, until they are this long ago. */
const MOST_TRIES = 5
const LOCK_MS = 15 * MINUTE_MS
/** Codes sent to a number within that time: a text costs money and wakes people. */
const MOST_CODES = 3
const FORGET_MS = 24 * 60 * MINUTE_MS
const LINK_LIFE_MS = 60 * MINUTE_MS

/**
 * Sends a code to the phone of someone who may read the pages; answers the identifier it is typed in with. The answer
 * is the same for every number, known or not, and for one that is locked.
 */
export async function sendSignInCode(deps: Deps, { newCode }: Secrets, typedNumber: string): Promise<string> {
  const { number, person } = await personBehind(deps, typedNumber)
  const id = deps.newId()
  const code = newCode()
  const codeDigest = (await slowDigest(code, id)).toString('hex')
  const numberDigest = digest(number)
  const textId = await deps.database.transaction(
    async (tx) => {
      const createdAt = deps.clock.now()
      await forgetSignInCodes(tx, new Date(createdAt.getTime() - FORGET_MS))
      const { codes, tries } = await countSignInTries(
        tx,
        numberDigest,
        new Date(createdAt.getTime() - LOCK_MS),
      )
      const receiver = codes < MOST_CODES && tries < MOST_TRIES ? person : undefined
      const expiresAt = new Date(createdAt.getTime() + CODE_LIFE_MS)
      const personId = receiver?.id ?? null
      await insertSignInCode(tx, { id, personId, numberDigest, codeDigest, createdAt, expiresAt })
      return receiver === undefined ? null : textCode(tx, deps, receiver, { code, createdAt, expiresAt })
    },
    // Requests that race must see each other's codes.
    { isolationLevel: 'Serializable' },
  )
  if (textId !== null) await deps.conveyor.sendText({ id: textId, number })
  return id
}

/** Numbers are typed as in any of the districts. */
async function personBehind(
  { database: { db } }: Deps,
  typed: string,
): Promise<{ readonly number: string; readonly person: Person | undefined }> {
  const regions = new Set((await listDistricts(db)).map(({ region }) => region))
  const numbers = [...regions].flatMap((region) => {
    const read = parsePhoneNumber(typed, region)
    return read.kind === 'phone' ? [read.number] : []
  })
  for (const number of numbers) {
    const person = await findPersonByPhone(db, number)
    if (person !== undefined && isPageRole(person.role)) return { number, person }
  }
  return { number: numbers[0] ?? typed, person: undefined }
}

interface SentCode {
  readonly code: string
  readonly createdAt: Date
  readonly expiresAt: Date
}

async function textCode(tx: Transaction, deps: Deps, person: Person, sent: SentCode): Promise<string> {
  const district = await getDistrict(tx, person.districtId)
  const body = say(bookFor(deps.shelf, district, person.language), 'sign-in-code', { code: sent.code })
  const id = deps.newId()
  await insertTextOut(tx, {
    id,
    districtId: district.id,
    number: person.phone,
    body,
    purpose: 'alert',
    isUrgent: true,
    parts: measure(body).parts,
    inReplyTo: null,
    createdAt: sent.createdAt,
    sendAt: sent.createdAt,
    usefulUntil: sent.expiresAt,
  })
  return id
}

/** Opens a session for a code that fits; `undefined` for every other one, without saying why. */
export async function signInByCode(
  deps: Deps,
  { newSecret }: Secrets,
  { id, typed }: { readonly id: string; readonly typed: string },
): Promise<string | undefined> {
  const { db } = deps.database
  const now = deps.clock.now()
  const taken = await takeSignInTry(db, id, now, MOST_TRIES)
  if (taken === undefined) return undefined
  const { tries } = await countSignInTries(db, taken.numberDigest, new Date(now.getTime() - LOCK_MS))
  const code = asciiDigits(typed).replace(/\D/g, '')
  const isRight = timingSafeEqual(await slowDigest(code, id), Buffer.from(taken.codeDigest, 'hex'))
  const { personId } = taken
  if (!isRight || personId === null || tries > MOST_TRIES) return undefined
  return deps.database.transaction(async (tx) => {
    if (!(await useSignInCode(tx, id, now))) return undefined
    return openPageSession(tx, deps, newSecret, { kind: 'person', id: personId })
  })
}

/**
 * Makes a link that lets someone in once; answers the path it leads to.
 * @throws {Refusal} not-allowed, when nobody who may read the pages has this phone
 */
export async function makeSignInLink(
  deps: Deps,
  { newSecret }: Pick<Secrets, 'newSecret'>,
  typedNumber: string,
): Promise<string> {
  const { person } = await personBehind(deps, typedNumber)
  if (person === undefined)
    throw new Refusal('not-allowed', `No manager or officer is on record under ${typedNumber}.`)
  const secret = newSecret()
  const createdAt = deps.clock.now()
  await insertSignInLink(deps.database.db, {
    digest: digest(secret),
    personId: person.id,
    createdAt,
    expiresAt: new Date(createdAt.getTime() + LINK_LIFE_MS),
  })
  return `/sign-in?link=${secret}`
}

/** Opens a session for a link that was not used before. */
export async function signInByLink(
  deps: Deps,
  { newSecret }: Secrets,
  link: string,
): Promise<string | undefined> {
  return deps.database.transaction(async (tx) => {
    const personId = await useSignInLink(tx, digest(link), deps.clock.now())
    return personId === undefined
      ? undefined
      : openPageSession(tx, deps, newSecret, { kind: 'person', id: personId })
  })
}

/** Opens a session for an API token of a manager or an officer. */
export async function signInByToken(
  deps: Deps,
  { newSecret }: Secrets,
  token: string,
): Promise<string | undefined> {
  const principal = await principalOf(deps, token)
  if (principal === undefined || !isPageRole(principal.role)) return undefined
  return openPageSession(deps.database.db, deps, newSecret, { kind: 'token', id: principal.id })
}
