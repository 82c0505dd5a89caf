import { say } from '../texts/phrases.ts'
import type { NamedPlace, WorkerFacts } from './facts.ts'
import type { Step, StepOf } from './step.ts'
import { finalOption, option } from './view.ts'
import type { Caller, View } from './view.ts'

/** A vaccinator's own entries and technique cards, and a manager's figures. */

/** What would be taken back. */
export function undo(what: string | null, { book }: Caller): View {
  if (what === null) return { text: say(book, 'undo-nothing'), options: [] }
  return {
    text: say(book, 'screen-ask-undo', { what }),
    options: [finalOption(say(book, 'screen-agree'), { act: { act: 'undo', card: null } })],
  }
}

const TOPICS = ['fipv', 'vial', 'cold', 'after', 'reaction'] as const

/** The technique cards there are. */
export function technique({ book }: Caller): View {
  return {
    text: say(book, 'screen-technique'),
    options: TOPICS.map((topic) =>
      option(say(book, `screen-technique-${topic}`), { step: 'technique-card', topic }),
    ),
  }
}

/** One technique card, the same as HELP sends. */
export function techniqueCard({ topic }: StepOf<'technique-card'>, { book }: Caller): View {
  return { text: say(book, `job-aid-${topic}`), options: [] }
}

/** The district or a village, to read a figure of. */
export function whichPlace(
  { figure }: StepOf<'which-place'>,
  villages: readonly NamedPlace[],
  { book }: Caller,
): View {
  const figureOf = (villageId: string | null): Step => ({ step: figure, villageId })
  return {
    text: say(book, `screen-${figure}`),
    options: [
      option(say(book, 'screen-district'), figureOf(null)),
      ...villages.map(({ id, name }) => option(name, figureOf(id))),
    ],
  }
}

/** Coverage as COVER sends it. */
export function coverage(figures: string): View {
  return { text: figures, options: [] }
}

/** How many did not come. */
export function missed(facts: WorkerFacts['missed'], { book }: Caller): View {
  const text = facts.count === 0 ? say(book, 'missed-none', facts) : say(book, 'missed-list', facts)
  return { text, options: [] }
}
