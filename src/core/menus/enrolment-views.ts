import { formatCardNumber } from '../card-number.ts'
import { OLDEST_AGE_DAYS } from '../children/oldest-age.ts'
import { parsePhoneNumber } from '../phone-number.ts'
import { say } from '../texts/phrases.ts'
import type { StepOf } from './step.ts'
import { readTypedDay, writeTypedDay } from './typed-day.ts'
import { birthInWords, finalOption, go, option } from './view.ts'
import type { Caller, Move, View } from './view.ts'

/** Enrolling a child, one question a screen. */

/** Villages by name; those that come first are the caller's own. */
export function askVillage(villages: readonly string[], { book }: Caller): View {
  return {
    text: say(book, 'screen-ask-village'),
    options: villages.map((village) => option(village, { step: 'birth', village })),
  }
}

/** The birth date, typed on the number pad. */
export function askBirth({ village }: StepOf<'birth'>, caller: Caller): View {
  const { book, today } = caller
  return {
    text: say(book, 'screen-ask-birth', { first: writeTypedDay(today, caller, { withYear: true }) }),
    options: [],
    read: (typed) => readBirth(typed, village, caller),
  }
}

function readBirth(typed: string, village: string, caller: Caller): Move | undefined {
  const { today } = caller
  const day = readTypedDay(typed, { ...caller, on: today, direction: 'past' })
  if (day === undefined) return undefined
  if (typeof day === 'number' && today - day <= OLDEST_AGE_DAYS)
    return go({ step: 'sex', village, birthOn: day })
  const code = typeof day === 'number' ? 'date-impossible' : day
  return { kind: 'problem', problem: { code, word: typed } }
}

/** Girl or boy. */
export function askSex({ village, birthOn }: StepOf<'sex'>, { book }: Caller): View {
  const born = { village, birthOn }
  return {
    text: say(book, 'screen-ask-sex'),
    options: [
      option(say(book, 'screen-girl'), { step: 'phone', ...born, sex: 'female' }),
      option(say(book, 'screen-boy'), { step: 'phone', ...born, sex: 'male' }),
    ],
  }
}

/** Fewer digits are a key, not a phone number. */
const FEWEST_PHONE_DIGITS = 5

/** The family's number, or none. */
export function askPhone(step: StepOf<'phone'>, { book, region }: Caller): View {
  return {
    text: say(book, 'screen-ask-phone'),
    options: [option(say(book, 'screen-no-phone'), { ...step, step: 'name', phone: null })],
    read: (typed) => {
      if (typed.replace(/\D/g, '').length < FEWEST_PHONE_DIGITS) return undefined
      const phone = parsePhoneNumber(typed, region)
      return phone.kind === 'phone'
        ? go({ ...step, step: 'name', phone: phone.number })
        : { kind: 'problem', problem: { code: 'phone-impossible', word: typed } }
    },
  }
}

/** A number pad writes letters slowly or not at all, so a child may be enrolled without its name. */
export function askName(step: StepOf<'name'>, { book }: Caller): View {
  const named = (name: string): Move => go({ ...step, step: 'check-enrolment', name, isKnownToBeNew: false })
  return {
    text: say(book, 'screen-ask-name'),
    options: [{ label: say(book, 'screen-no-name'), move: named(say(book, 'screen-baby')) }],
    read: (typed) => (/\p{L}/u.test(typed) ? named(typed) : undefined),
  }
}

/** All answers once more, before they are stored. */
export function checkEnrolment(step: StepOf<'check-enrolment'>, caller: Caller): View {
  const { book } = caller
  const { village, birthOn, sex, phone, name, isKnownToBeNew } = step
  const act = { act: 'enrol', village, birthDate: birthOn, sex, phone, name } as const
  const answers = [
    name,
    say(book, sex === 'female' ? 'screen-girl' : 'screen-boy'),
    birthInWords(caller, birthOn),
    village,
    phone ?? say(book, 'screen-no-phone'),
  ]
  return {
    text: answers.join('\n'),
    options: [finalOption(say(book, 'screen-save'), { act, isKnownToBeNew })],
  }
}

/** No record is opened beside one that looks alike before someone has looked at it. */
export function alike({ children, ...enrolment }: StepOf<'alike'>, { book }: Caller): View {
  return {
    text: say(book, 'screen-alike'),
    options: [
      ...children.map(({ card, child }) =>
        option(`${formatCardNumber(card)} ${child}`, { step: 'vaccines', card, vaccines: [] }),
      ),
      option(say(book, 'screen-another-child'), {
        ...enrolment,
        step: 'check-enrolment',
        isKnownToBeNew: true,
      }),
    ],
  }
}
