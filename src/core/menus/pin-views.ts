import { asciiDigits } from '../reading/clean-text.ts'
import { say } from '../texts/phrases.ts'
import type { Caller, Deed, View } from './view.ts'

/** The PIN: asked before a deed, and chosen. What is typed goes into the deed and nowhere else. */

/** Asks for the PIN of what is to be done. */
export function askPin(deed: Deed | null, { book }: Caller): View {
  return {
    text: say(book, 'screen-ask-pin'),
    options: [],
    read: (typed) => {
      const pin = asciiDigits(typed).trim()
      return deed === null || !/^\d{4,6}$/.test(pin) ? undefined : { kind: 'do', deed: { ...deed, pin } }
    },
  }
}

/** Asks for a manager's code or the old PIN, and the new one. */
export function askNewPin({ book }: Caller): View {
  return {
    text: say(book, 'screen-new-pin'),
    options: [],
    read: (typed) => {
      const groups = asciiDigits(typed).match(/\d+/g) ?? []
      return groups.length < 2
        ? undefined
        : { kind: 'do', deed: { act: { act: 'set-pin' }, pin: groups.join(' ') } }
    },
  }
}

/** What a step writes for good, where it does. */
export function deedOf({ options }: View): Deed | null {
  const [move] = options.flatMap((each) => ('move' in each && each.isFinal === true ? [each.move] : []))
  return move?.kind === 'do' ? move.deed : null
}
