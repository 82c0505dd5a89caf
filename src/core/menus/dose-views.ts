import { checkCardNumber, formatCardNumber } from '../card-number.ts'
import { addDays } from '../days/day.ts'
import { say, sayError } from '../texts/phrases.ts'
import type { DosePreview, DueVaccines, ExpectedChildren } from './facts.ts'
import { findOption } from './find-views.ts'
import type { Step, StepOf } from './step.ts'
import { readTypedDay, writeTypedDay } from './typed-day.ts'
import { birthInWords, dayInWords, finalOption, go, option } from './view.ts'
import type { Caller, Move, Tick, View } from './view.ts'

/** Recording doses: card, vaccines, look once more, stored. */

/** Days before today that can be chosen by a key; earlier ones are typed. */
const DAYS_OFFERED = 3
/** Fewer digits are a slip of the finger, not a card number. */
const FEWEST_CARD_DIGITS = 6

/** Reads a card number and leads on; a wrong one is told apart from a wrong key. */
export function readCardFor(next: (card: string) => Step) {
  return (typed: string): Move | undefined => {
    if (typed.replace(/\D/g, '').length < FEWEST_CARD_DIGITS) return undefined
    const checked = checkCardNumber(typed)
    return checked.kind === 'card'
      ? go(next(checked.number))
      : { kind: 'problem', problem: { code: checked.why, word: typed } }
  }
}

/** A card number leads to what is due. */
export const readCard = readCardFor((card) => ({ step: 'vaccines', card, vaccines: [] }))

/** Where recording begins. */
export function askCard(caller: Caller): View {
  const options = [findOption('doses', caller)]
  return { text: say(caller.book, 'screen-ask-card'), options, read: readCard }
}

/** No child of the district has the card; another may be typed. */
export function noChild(card: string, { book }: Caller, read = readCard): View {
  const sentence = sayError(book, 'child-not-found', { word: formatCardNumber(card) })
  return { text: `${sentence} ${say(book, 'screen-ask-card')}`, options: [], read }
}

/** What is due, to be ticked; numbers typed at once lead on, and what is ticked stays when one comes back. */
export function vaccines(step: StepOf<'vaccines'>, facts: DueVaccines | null, caller: Caller): View {
  const { book, today } = caller
  const { card, vaccines: ticked } = step
  if (facts === null) return noChild(card, caller)
  const chosen = (all: readonly string[]): Move => {
    const given = { card, vaccines: [...all] }
    const here: Step = { step: 'vaccines', ...given }
    return all.length === 0 ? go(here) : go(here, { step: 'check-doses', ...given, on: today })
  }
  const listed = [...new Set([...facts.due, ...ticked])]
  const lines = [
    `${formatCardNumber(card)} ${facts.child}`,
    ...(facts.isFollowed ? [] : [say(book, 'card-closed')]),
    say(book, listed.length === 0 ? 'screen-none-due' : 'screen-ask-vaccines'),
  ]
  return {
    text: lines.join('\n'),
    options: [
      ...(listed.length < 2 ? [] : [{ label: say(book, 'screen-all'), move: chosen(listed) }]),
      ...listed.map((vaccine) => tick(vaccine, vaccine, ticked)),
      option(say(book, 'screen-other'), { ...step, step: 'other-vaccines' }),
      ...(ticked.length === 0 ? [] : [{ label: say(book, 'screen-go-on'), move: chosen(ticked) }]),
    ],
    pick: (picked) => chosen(toggled(ticked, picked)),
  }
}

/** A line to tick; what is ticked bears a plus. */
export function tick(label: string, picks: string, ticked: readonly string[]): Tick {
  return { label: ticked.includes(picks) ? `+${label}` : label, picks }
}

/** What is ticked after some lines were picked. */
export function toggled(ticked: readonly string[], picked: readonly string[]): string[] {
  const kept = ticked.filter((one) => !picked.includes(one))
  return [...kept, ...new Set(picked.filter((one) => !ticked.includes(one)))]
}

/** Vaccines that are not due by the schedule; whoever gave one records it and is told what it means. */
export function otherVaccines(
  { card, vaccines: ticked }: StepOf<'other-vaccines'>,
  facts: DueVaccines | null,
  caller: Caller,
): View {
  if (facts === null) return noChild(card, caller)
  const others = facts.others.filter((vaccine) => !ticked.includes(vaccine))
  return {
    text: say(caller.book, 'screen-ask-vaccines'),
    options: others.map((vaccine) => tick(vaccine, vaccine, [])),
    pick: (picked) => {
      const chosen = [...ticked, ...new Set(picked)]
      return go(
        { step: 'vaccines', card, vaccines: chosen },
        { step: 'check-doses', card, vaccines: chosen, on: caller.today },
      )
    },
  }
}

/** The last look: whose child, what, when, and what will not count. */
export function checkDoses(step: StepOf<'check-doses'>, facts: DosePreview | null, caller: Caller): View {
  const { book } = caller
  const { card, vaccines: given, on } = step
  if (facts === null) return noChild(card, caller)
  const { child, birthOn, refusal, known, uncounted } = facts
  const birth = birthInWords(caller, birthOn)
  const lines = [
    say(book, 'screen-child', { card: formatCardNumber(card), child, birth }),
    say(book, 'screen-doses', { doses: given.join(', '), on: dayInWords(caller, on) }),
    ...(refusal === null ? [] : [refusal]),
    ...(known.length === 0 ? [] : [say(book, 'screen-on-record', { doses: known.join(', ') })]),
    ...uncounted.map(({ vaccine, reason }) =>
      say(book, 'screen-uncounted', { dose: vaccine, reason: say(book, `reason-${reason}`) }),
    ),
  ]
  const isNew = given.some((vaccine) => !known.includes(vaccine))
  const act = { card, vaccines: given, typed: [], all: false, date: on, vial: null } as const
  return {
    text: lines.join('\n'),
    options: [
      ...(refusal === null && isNew
        ? [finalOption(say(book, 'screen-save'), { act: { act: 'record-doses', ...act } })]
        : []),
      option(say(book, 'screen-other-day'), { ...step, step: 'which-day' }),
    ],
  }
}

/** The days just past by a key, any other typed. */
export function askDay(step: StepOf<'which-day'>, caller: Caller): View {
  const { book, today } = caller
  const check = (on: StepOf<'which-day'>['on']): Step => ({ ...step, step: 'check-doses', on })
  const offered = Array.from({ length: DAYS_OFFERED + 1 }, (_, back) => addDays(today, -back))
  return {
    text: say(book, 'screen-ask-day', {
      first: writeTypedDay(addDays(today, -DAYS_OFFERED - 1), caller, { withYear: false }),
    }),
    options: offered
      .filter((day) => day !== step.on)
      .map((day) => option(dayInWords(caller, day), check(day))),
    read: (typed) => {
      const day = readTypedDay(typed, { ...caller, on: today, direction: 'past' })
      if (day === undefined) return undefined
      return typeof day === 'number'
        ? go(check(day))
        : { kind: 'problem', problem: { code: day, word: typed } }
    },
  }
}

/** Who is expected at the next session; a child that came is recorded from here. */
export function due({ place, on, children }: ExpectedChildren, caller: Caller): View {
  const { book } = caller
  const facts = { place, day: dayInWords(caller, on) }
  if (children.length === 0) return { text: say(book, 'due-none', facts), options: [] }
  const isAnyFlagged = children.some(({ isFlagged }) => isFlagged)
  return {
    text: [
      say(book, 'due-list', { ...facts, count: children.length }),
      ...(isAnyFlagged ? [say(book, 'list-flagged')] : []),
    ].join('\n'),
    options: children.map(({ card, child, isFlagged }) =>
      option(`${formatCardNumber(card)} ${child}${isFlagged ? '!' : ''}`, {
        step: 'vaccines',
        card,
        vaccines: [],
      }),
    ),
  }
}
