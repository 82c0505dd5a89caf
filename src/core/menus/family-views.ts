import { sayCare } from '../texts/aftercare.ts'
import type { AftercareCause } from '../texts/aftercare.ts'
import { say } from '../texts/phrases.ts'
import type { FamilyVisits, VisitMove } from './facts.ts'
import type { StepOf } from './step.ts'
import { finalOption, option } from './view.ts'
import type { Caller, View } from './view.ts'

/** What a parent may ask and change. */

/** The visits of a family, to choose the one that is to move. */
export function whichVisit({ visits }: FamilyVisits, { book }: Caller): View {
  return {
    text: say(book, 'screen-ask-visit'),
    options: visits.map(({ childId, child, day }) => option(`${child}: ${day}`, { step: 'move', childId })),
  }
}

/** A visit and the day it would move to. */
export function move(facts: VisitMove | null, { book, place }: Caller): View {
  if (facts === null) return { text: say(book, 'next-date-none', { post: place }), options: [] }
  const { visit, next } = facts
  if (next === null) return { text: say(book, 'move-too-late', visit), options: [] }
  const deed = { act: { act: 'move-later' }, childId: visit.childId } as const
  return {
    text: say(book, 'screen-ask-move', { ...visit, next }),
    options: [finalOption(say(book, 'screen-agree'), deed)],
  }
}

/** What is normal after the vaccines that were given last, or after most; what is not, and what is urgent. */
export function after(causes: ReadonlySet<AftercareCause>, { book }: Caller): View {
  const usual: ReadonlySet<AftercareCause> = new Set(['injection'])
  return { text: sayCare(book, causes.size === 0 ? usual : causes), options: [] }
}

/** The languages of the district, each by its own name. */
export function whichLanguage({ book, languages }: Caller): View {
  return {
    text: say(book, 'screen-language'),
    options: languages.map(({ language, name }) => option(name, { step: 'check-language', language })),
  }
}

/** Asked in the language that was chosen, so that nobody is left in one they cannot read. */
export function checkLanguage({ language }: StepOf<'check-language'>, caller: Caller): View {
  const chosen = caller.languages.find((book) => book.language === language) ?? caller.book
  return {
    text: chosen.name,
    options: [finalOption(say(chosen, 'screen-agree'), { act: { act: 'set-language', language } })],
  }
}

/** Whether reminders are to stop. */
export function stop({ book }: Caller): View {
  return {
    text: say(book, 'screen-ask-stop'),
    options: [finalOption(say(book, 'screen-agree'), { act: { act: 'stop' } })],
  }
}

/** Whether reminders are to come again. */
export function start({ book }: Caller): View {
  return {
    text: say(book, 'screen-ask-start'),
    options: [finalOption(say(book, 'screen-agree'), { act: { act: 'start' } })],
  }
}
