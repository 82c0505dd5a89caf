import { cleanText } from '../reading/clean-text.ts'
import type { PhraseBook } from '../texts/phrases.ts'
import { say, sayError } from '../texts/phrases.ts'
import { KEYS, pagesOf, withSlip } from './pages.ts'
import type { Page } from './pages.ts'
import type { Dialogue, Step } from './step.ts'
import type { Deed, Move, View } from './view.ts'

/**
 * The menu machine. A dialogue is a trail of steps, of which the last is shown; a key goes on to another step, back,
 * home, or asks for a deed. It computes only: the caller looks up what a step must show, does the deed, and stores
 * the dialogue between keys. Every way ends, for no step stands on a trail twice and back shortens it.
 *
 * - home menu, back → over
 * - any step, more → its next page; back → the page before, else the step before; home → the home menu
 * - any step, a number or an entry it understands → other steps, or a deed
 * - any step, anything else → the same page, with a word about it
 * - after a deed → the result; refused → the result, with the way back kept
 * - a result that ends, last page shown → over
 * - over, any key → the same screen again
 */

/** A dialogue at its home menu. */
export function beginDialogue(home: Step): Dialogue {
  return at([home])
}

/**
 * A dialogue after one that broke off: a result is shown again and what was half done is offered; a finished dialogue,
 * or one that did not go far, begins anew.
 */
export function resumeDialogue(last: Dialogue, home: Step): Dialogue {
  const top = currentStep(last).step
  if (last.isOver || last.steps.length === 1 || last.steps[0]?.step !== home.step) return beginDialogue(home)
  const isPlain = top === 'result' || top === 'resume'
  return at(isPlain ? last.steps : [...last.steps, { step: 'resume' }])
}

/** The step that is shown. */
export function currentStep({ steps }: Dialogue): Step {
  const step = steps.at(-1)
  if (step === undefined) throw new Error('a dialogue without a step')
  return step
}

/** What a key comes to. */
export type Pressed =
  | { readonly kind: 'moved'; readonly dialogue: Dialogue }
  /** To be done; then `settle`. */
  | { readonly kind: 'deed'; readonly deed: Deed }

/** What is typed on the screen that was shown last; `view` is what its step shows now. */
export function press(dialogue: Dialogue, typed: string, view: View, book: PhraseBook): Pressed {
  if (dialogue.isOver) return { kind: 'moved', dialogue }
  const key = cleanText(typed)
  const { page } = pageOf(dialogue, view, book)
  const move = moveOf(dialogue, key, view, page)
  // What a key means now may not be what it meant on the screen: shown again, it is for the reader to see.
  const isStale = screenText(dialogue, page, book) !== dialogue.shown
  if (isStale && key !== KEYS.back && key !== KEYS.home) return moved(calm(dialogue))
  if (move === undefined) return moved({ ...calm(dialogue), isSlip: true })
  if (move.kind === 'do') return { kind: 'deed', deed: move.deed }
  return moved(follow(dialogue, move, book))
}

function moved(dialogue: Dialogue): Pressed {
  return { kind: 'moved', dialogue }
}

type Turn =
  Exclude<Move, { kind: 'do' }> | { readonly kind: 'page'; readonly page: number } | { readonly kind: 'end' }

function moveOf(
  { steps, page: index }: Dialogue,
  key: string,
  view: View,
  page: Page,
): Move | Turn | undefined {
  if (key === KEYS.home) return { kind: 'home' }
  if (key === KEYS.back) {
    if (index > 0) return { kind: 'page', page: index - 1 }
    return { kind: steps.length === 1 ? 'end' : 'back' }
  }
  if (key === KEYS.more && page.hasMore) return { kind: 'page', page: index + 1 }
  const option = page.options.get(key)
  if (option !== undefined && 'move' in option) return option.move
  return pickedMove(key, view, page) ?? view.read?.(key)
}

/** 2, 24, or 2 4: the lines of these numbers, where all of them are ticks. */
function pickedMove(key: string, { pick }: View, { options }: Page): Move | undefined {
  const picked = Array.from(key.replace(/[\s,.*-]/g, ''), (digit) => {
    const option = options.get(digit)
    return option !== undefined && 'picks' in option ? option.picks : undefined
  })
  const known = picked.filter((each) => each !== undefined)
  return pick === undefined || known.length === 0 || known.length < picked.length ? undefined : pick(known)
}

function follow(dialogue: Dialogue, move: Turn, book: PhraseBook): Dialogue {
  const { steps } = dialogue
  switch (move.kind) {
    case 'go':
      return at(move.to.reduce(onTrail, steps))
    case 'back':
      return at(steps.slice(0, -1))
    case 'home':
      return at(steps.slice(0, 1))
    case 'page':
      return { ...calm(dialogue), page: move.page }
    case 'problem':
      return { ...calm(dialogue), page: 0, problem: move.problem }
    case 'end':
      return { ...at(steps), isOver: true, shown: say(book, 'screen-goodbye') }
  }
}

function at(steps: Step[]): Dialogue {
  return { steps, page: 0, isSlip: false, problem: null, shown: '', isOver: false }
}

function calm(dialogue: Dialogue): Dialogue {
  return { ...dialogue, isSlip: false, problem: null }
}

/** The trail with a step at its end; a step that stands on it already is gone back to. */
function onTrail(steps: Step[], to: Step): Step[] {
  const before = steps.findIndex(({ step }) => step === to.step)
  return [...(before === -1 ? steps : steps.slice(0, before)), to]
}

/** What came of a deed. */
export type Outcome =
  /** `card`: a card that was made. */
  | { readonly kind: 'done'; readonly text: string; readonly card: string | null }
  | { readonly kind: 'refused'; readonly text: string }
  /** The deed asks for the PIN, which was not typed yet. */
  | { readonly kind: 'pin' }
  /** Children on the register that look like the one to enrol. */
  | {
      readonly kind: 'alike'
      readonly children: readonly { readonly card: string; readonly child: string }[]
    }

/** Steps that a result leaves standing, for the next child of a list. */
const KEPT: ReadonlySet<string> = new Set(['vaccinator-home', 'manager-home', 'family-home', 'due'])

/** Steps whose deed is about no child: another card is not what follows. */
const OF_NO_CHILD: ReadonlySet<string> = new Set([
  'check-opening',
  'check-discard',
  'check-degrees',
  'new-pin',
])

/** A dialogue at the step whose deed asked for the PIN. */
export function withoutPinStep(dialogue: Dialogue): Dialogue {
  return currentStep(dialogue).step === 'pin' ? at(dialogue.steps.slice(0, -1)) : dialogue
}

/** The dialogue after a deed. */
export function settle(dialogue: Dialogue, outcome: Outcome): Dialogue {
  const { steps } = withoutPinStep(dialogue)
  const result = { step: 'result', card: null, takesCard: false, ends: false } as const
  switch (outcome.kind) {
    case 'pin':
      return at(onTrail(steps, { step: 'pin' }))
    case 'refused':
      return at(onTrail(dialogue.steps, { ...result, text: outcome.text }))
    case 'alike': {
      const asked = currentStep({ ...dialogue, steps })
      if (asked.step !== 'check-enrolment') return dialogue
      return at(onTrail(steps, { ...asked, step: 'alike', children: [...outcome.children] }))
    }
    case 'done': {
      const isFamily = steps.some(({ step }) => step === 'family-home')
      const kept = steps.filter(({ step }) => KEPT.has(step))
      const { text, card } = outcome
      const takesCard = !isFamily && !OF_NO_CHILD.has(currentStep({ ...dialogue, steps }).step)
      return at([...kept, { step: 'result', text, card, takesCard, ends: isFamily }])
    }
  }
}

/** A screen to send, and the dialogue to store with it. */
export interface Shown {
  readonly dialogue: Dialogue
  readonly text: string
  readonly ends: boolean
}

/** What the last step of a dialogue shows. */
export function show(dialogue: Dialogue, view: View, book: PhraseBook): Shown {
  if (dialogue.isOver) return { dialogue, text: dialogue.shown, ends: true }
  const { page, index } = pageOf(dialogue, view, book)
  const text = screenText(dialogue, page, book)
  const ends = view.ends === true && !page.hasMore
  return { dialogue: { ...dialogue, page: index, shown: text, isOver: ends }, text, ends }
}

/** The page a dialogue is at, or the last one where its list has become shorter. */
function pageOf({ steps, problem, page: wanted }: Dialogue, view: View, book: PhraseBook) {
  const said = problem === null ? '' : `${sayError(book, problem.code, { word: problem.word })}\n`
  let index = -1
  for (const page of pagesOf({ ...view, text: said + view.text }, { book, depth: steps.length })) {
    index += 1
    if (index === wanted || !page.hasMore) return { page, index }
  }
  throw new Error('a view without a page')
}

function screenText({ isSlip }: Dialogue, { text }: Page, book: PhraseBook): string {
  return isSlip ? withSlip(text, book) : text
}
