import { say } from '../texts/phrases.ts'
import { readCelsius } from '../reading/read-cold-store.ts'
import type { StepOf } from './step.ts'
import { finalOption, go, option } from './view.ts'
import type { Caller, View } from './view.ts'

/** What a refrigerator shows. */

/** The refrigerator of a post that has only one. */
const ONLY_FRIDGE = '1'

/** Which refrigerator, where the post has several. */
export function whichFridge(fridges: readonly string[], caller: Caller): View {
  const [first = ONLY_FRIDGE, ...others] = fridges
  if (others.length === 0) return askDegrees({ step: 'degrees', fridge: first }, caller)
  return {
    text: say(caller.book, 'screen-temperature'),
    options: fridges.map((fridge) => option(fridge, { step: 'degrees', fridge })),
  }
}

/** `4*5` is 4.5 and `*2` is -2 where a pad has no point and no minus; one digit alone is a key. */
export function askDegrees({ fridge }: StepOf<'degrees'>, { book }: Caller): View {
  return {
    text: say(book, 'screen-ask-degrees'),
    options: [],
    read: (typed) => {
      const written = typed.replace(/^\*/, '-').replace('*', '.').replace(',', '.')
      if (!/^[+-]?\d{1,2}(\.\d)?$/.test(written) || /^\d$/.test(written)) return undefined
      const celsius = readCelsius(written)
      return celsius === undefined
        ? { kind: 'problem', problem: { code: 'temperature-impossible', word: typed } }
        : go({ step: 'check-degrees', fridge, celsius })
    },
  }
}

/** The last look. */
export function checkDegrees({ fridge, celsius }: StepOf<'check-degrees'>, { book, today }: Caller): View {
  const act = { act: 'record-temperature', celsius, fridge, date: today } as const
  return {
    text: `${say(book, 'screen-temperature')} ${fridge}\n${say(book, 'screen-degrees', { degrees: String(celsius) })}`,
    options: [finalOption(say(book, 'screen-save'), { act })],
  }
}
