import { say } from '../texts/phrases.ts'
import type { FamilyVisit, FamilyVisits } from './facts.ts'
import { readCard } from './dose-views.ts'
import type { Step, StepOf } from './step.ts'
import { option } from './view.ts'
import type { Caller, View } from './view.ts'

/** Where each role begins, where a broken-off task is offered again, and where a deed ends. */

/** The tasks of a vaccinator. */
export function vaccinatorHome({ book, place, hasOwnChildren, hasPin }: Caller): View {
  return {
    text: place,
    options: [
      option(say(book, 'screen-record'), { step: 'card' }),
      option(say(book, 'screen-due'), { step: 'due' }),
      option(say(book, 'screen-enrol'), { step: 'village' }),
      option(say(book, 'screen-undo'), { step: 'undo' }),
      option(say(book, 'screen-vials'), { step: 'vials' }),
      option(say(book, 'screen-reaction'), { step: 'reaction-card' }),
      option(say(book, 'screen-technique'), { step: 'technique' }),
      option(say(book, 'screen-temperature'), { step: 'fridge' }),
      ...(hasPin ? [option(say(book, 'screen-pin'), { step: 'new-pin' })] : []),
      ...(hasOwnChildren ? [option(say(book, 'screen-own-children'), { step: 'family-home' })] : []),
    ],
  }
}

/** The questions of a manager. */
export function managerHome({ book, place, hasOwnChildren, hasPin }: Caller): View {
  return {
    text: place,
    options: [
      option(say(book, 'screen-coverage'), { step: 'which-place', figure: 'coverage' }),
      option(say(book, 'screen-missed'), { step: 'which-place', figure: 'missed' }),
      ...(hasPin ? [option(say(book, 'screen-pin'), { step: 'new-pin' })] : []),
      ...(hasOwnChildren ? [option(say(book, 'screen-own-children'), { step: 'family-home' })] : []),
    ],
  }
}

/** The next dates stand on the first screen: most parents need no key at all. */
export function familyHome({ visits, isStopped }: FamilyVisits, { book, place }: Caller): View {
  const lines = visits.map((visit) => say(book, 'next-date-line', visit))
  return {
    text: lines.length === 0 ? say(book, 'next-date-none', { post: place }) : lines.join('\n'),
    options: [
      ...moving(visits).map((step) => option(say(book, 'screen-move'), step)),
      option(say(book, 'screen-after'), { step: 'after' }),
      option(say(book, 'screen-language'), { step: 'language' }),
      isStopped
        ? option(say(book, 'screen-start'), { step: 'start' })
        : option(say(book, 'screen-stop'), { step: 'stop' }),
    ],
  }
}

/** One visit is moved without asking which. */
function moving([first, ...others]: readonly FamilyVisit[]): Step[] {
  if (first === undefined) return []
  return [others.length === 0 ? { step: 'move', childId: first.childId } : { step: 'which-visit' }]
}

/** Whether to go on where a dialogue broke off. */
export function resume({ book }: Caller): View {
  return {
    text: say(book, 'screen-resume'),
    options: [
      { label: say(book, 'screen-go-on'), move: { kind: 'back' } },
      { label: say(book, 'screen-anew'), move: { kind: 'home' } },
    ],
  }
}

/** What came of a deed, and what naturally follows it. */
export function result({ text, card, takesCard, ends }: StepOf<'result'>, { book }: Caller): View {
  const options =
    card === null ? [] : [option(say(book, 'screen-record'), { step: 'vaccines', card, vaccines: [] })]
  if (!takesCard) return { text, options, ends }
  return { text: `${text}\n${say(book, 'screen-next-card')}`, options, read: readCard }
}
