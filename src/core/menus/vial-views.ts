import { addDays } from '../days/day.ts'
import { readTypedExpiry } from '../reading/take-expiry.ts'
import { say } from '../texts/phrases.ts'
import { IN_ORDER } from '../vials/conditions.ts'
import { DISCARD_REASONS } from '../vials/discard-reason.ts'
import type { KnownLot, VialInUse, VialState } from './facts.ts'
import { FAULTS } from './step.ts'
import type { Step, StepOf } from './step.ts'
import { writeTypedDay } from './typed-day.ts'
import { birthInWords, finalOption, go, option } from './view.ts'
import type { Caller, Move, View } from './view.ts'

/** Opened vials: opened, used on another day, thrown away. A condition that fails is a stop, never a question of taste. */

/** The vials in use, and one more. */
export function vials(inUse: readonly VialInUse[], { book }: Caller): View {
  return {
    text: say(book, inUse.length === 0 ? 'screen-no-vial' : 'screen-vials'),
    options: [
      option(say(book, 'screen-open-vial'), { step: 'which-vaccine' }),
      ...inUse.map(({ vial, vaccine }) => option(`${vial} ${vaccine}`, { step: 'vial', vial, vaccine })),
    ],
  }
}

/** What is in the vial to be opened. */
export function whichVaccine(vaccines: readonly string[], { book }: Caller): View {
  return {
    text: say(book, 'screen-ask-vaccine'),
    options: vaccines.map((vaccine) => option(vaccine, { step: 'lot', vaccine })),
  }
}

/** Fewer signs are a slip of the finger, not a lot number. */
const FEWEST_LOT_SIGNS = 3

/** Number pads write letters badly: a lot that was opened before is chosen, and its expiry is known. */
export function askLot({ vaccine }: StepOf<'lot'>, known: readonly KnownLot[], { book }: Caller): View {
  return {
    text: say(book, 'screen-ask-lot'),
    options: known.map(({ lot, expiry }) => option(lot, { step: 'conditions', vaccine, lot, expiry })),
    read: (typed) => {
      const lot = typed.toLocaleUpperCase('en')
      const isLot = lot.length >= FEWEST_LOT_SIGNS && /[\p{L}\p{N}]/u.test(lot)
      return isLot ? go({ step: 'expiry', vaccine, lot }) : undefined
    },
  }
}

/** Month and year as they are printed, or a day. */
export function askExpiry(step: StepOf<'expiry'>, caller: Caller): View {
  const { book, today } = caller
  const inHalfAYear = writeTypedDay(
    addDays(today, 182),
    { ...caller, calendar: 'gregory', isDayFirst: true },
    { withYear: true },
  )
  return {
    text: say(book, 'screen-ask-expiry', { first: inHalfAYear.slice(2) }),
    options: [],
    read: (typed) => {
      const expiry = readTypedExpiry(typed, { ...caller, on: today })
      if (expiry === undefined) return undefined
      return typeof expiry === 'number'
        ? go({ ...step, step: 'conditions', expiry })
        : { kind: 'problem', problem: { code: expiry, word: typed } }
    },
  }
}

/** All at once: whoever sees a fault names it. */
function conditionsView(inOrder: Step, { book }: Caller): View {
  return {
    text: say(book, 'screen-ask-conditions'),
    options: [
      option(say(book, 'screen-in-order'), inOrder),
      ...FAULTS.map((fault) => option(say(book, `fault-${fault}`), { step: 'vial-fault', fault })),
    ],
  }
}

/** Before opening. */
export function askConditions(step: StepOf<'conditions'>, caller: Caller): View {
  return conditionsView({ ...step, step: 'check-opening' }, caller)
}

/** Before use on another day. */
export function askConditionsAgain(step: StepOf<'conditions-again'>, caller: Caller): View {
  return conditionsView({ ...step, step: 'use-again' }, caller)
}

/** The clear stop. */
export function vialFault({ fault }: StepOf<'vial-fault'>, { book }: Caller): View {
  return { text: say(book, `vial-stop-${fault}`), options: [] }
}

/** The last look before a vial is on record. */
export function checkOpening({ vaccine, lot, expiry }: StepOf<'check-opening'>, caller: Caller): View {
  const act = { act: 'open-vial', vaccine, lot, expiry } as const
  return {
    text: `${vaccine} ${lot}\n${birthInWords({ ...caller, calendar: 'gregory' }, expiry)}`,
    options: [finalOption(say(caller.book, 'screen-save'), { act, conditions: IN_ORDER })],
  }
}

/** A vial in use: until when, and what to do with it. */
export function vial(step: StepOf<'vial'>, state: VialState | null, { book }: Caller): View {
  if (state === null) return { text: say(book, 'vial-stop-discarded'), options: [] }
  const { stop } = state
  const discard = option(say(book, 'screen-discard'), { ...step, step: 'why' })
  if (stop !== null)
    return { text: `${say(book, 'screen-vial', state)}\n${say(book, stop)}`, options: [discard] }
  return {
    text: say(book, 'screen-vial', state),
    options: [option(say(book, 'screen-use-again'), { ...step, step: 'conditions-again' }), discard],
  }
}

/** Whether a dose may be drawn, all conditions holding. */
export function useAgain(state: VialState | null, { book }: Caller): View {
  if (state === null) return { text: say(book, 'vial-stop-discarded'), options: [] }
  return { text: state.stop === null ? say(book, 'vial-use', state) : say(book, state.stop), options: [] }
}

/** Why it is thrown away. */
export function askWhy(step: StepOf<'why'>, { book }: Caller): View {
  const because = (reason: StepOf<'check-discard'>['reason']): Move =>
    go({ ...step, step: 'check-discard', reason })
  return {
    text: say(book, 'screen-ask-why'),
    options: DISCARD_REASONS.map((reason) => ({ label: say(book, `why-${reason}`), move: because(reason) })),
  }
}

/** The last look before it is gone. */
export function checkDiscard(
  { vial: number, vaccine, reason }: StepOf<'check-discard'>,
  { book }: Caller,
): View {
  const why = say(book, `why-${reason}`)
  const act = { act: 'discard-vial', vial: number, why } as const
  return {
    text: `${say(book, 'screen-discard')}: ${number} ${vaccine}\n${why}`,
    options: [finalOption(say(book, 'screen-save'), { act, reason })],
  }
}
