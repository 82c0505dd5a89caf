import { Refusal } from '../../core/refusals.ts'
import { listTextsOfNumber } from '../../store/texts.ts'
import { answerText } from '../answering/answer-text.ts'
import type { ScreenAnswer } from '../ports.ts'
import { PRACTICE } from '../practice.ts'
import { storeText } from '../receive-text.ts'
import { answerScreen } from '../screens/answer-screen.ts'
import { listPhones } from '../views.ts'
import type { PhoneOnRecord } from '../views.ts'
import type { DistrictScope } from './district-scope.ts'

/** Families whose phones are offered besides those of the staff. */
const FAMILIES = 40

/** A text on a practice phone. */
export interface PracticeText {
  /** ISO instant. */
  readonly at: string
  readonly body: string
  /** Written on this phone. */
  readonly isMine: boolean
}

/** The phones of a training district, in the tables alone. */
export interface PracticePhones {
  readonly phones: () => Promise<readonly PhoneOnRecord[]>
  /** Texts to and from a phone, oldest first. */
  readonly thread: (number: string) => Promise<readonly PracticeText[]>
  readonly text: (from: string, body: string) => Promise<void>
  readonly dial: (from: string, code: string) => Promise<ScreenAnswer>
  readonly press: (from: string, typed: string) => Promise<ScreenAnswer>
}

/** @throws {Refusal} route-not-found, for a real district */
export function practicePhones({ deps, db, district }: DistrictScope): PracticePhones {
  if (!district.isTraining)
    throw new Refusal(
      'route-not-found',
      `${district.name} is no training district; nothing is practised here.`,
    )
  const phones = () => listPhones(db, district.id, FAMILIES)
  const proveOwn = async (number: string): Promise<void> => {
    if ((await phones()).some((phone) => phone.number === number)) return
    throw new Refusal('not-allowed', `${number} is not on record in ${district.name}.`)
  }
  const screen = async (from: string, typed: string, isFirst: boolean): Promise<ScreenAnswer> => {
    await proveOwn(from)
    return answerScreen(deps, { gateway: PRACTICE, dialogue: `${PRACTICE} ${from}`, from, typed, isFirst })
  }
  return {
    phones,
    thread: async (number) =>
      (await listTextsOfNumber(db, district.id, number)).map(({ at, body, isFromPhone }) => ({
        at: at.toISOString(),
        body,
        isMine: isFromPhone,
      })),
    text: async (from, body) => {
      await proveOwn(from)
      const arrived = { gateway: PRACTICE, key: deps.newId(), from, to: PRACTICE, body }
      const { id } = await storeText(deps, arrived)
      // At once, and not by way of the workers: whoever practises is waiting.
      await answerText(deps, id)
    },
    dial: (from, code) => screen(from, code, true),
    press: (from, typed) => screen(from, typed, false),
  }
}
