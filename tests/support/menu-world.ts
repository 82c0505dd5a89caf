import { addDays, mustParseDay } from '../../src/core/days/day.ts'
import type { Dialogue, Step } from '../../src/core/menus/step.ts'
import type { FamilyVisit, StepFacts } from '../../src/core/menus/facts.ts'
import { currentStep, press, settle, show } from '../../src/core/menus/dialogue.ts'
import type { Outcome, Shown } from '../../src/core/menus/dialogue.ts'
import type { Caller, Deed, View } from '../../src/core/menus/view.ts'
import { viewOf } from '../../src/core/menus/view-of.ts'
import type { PhraseBook } from '../../src/core/texts/phrases.ts'
import { readPhraseBooks } from '../../src/main/phrase-books.ts'

/** A district without a store: what menus ask for, to walk through them. */

export const TODAY = mustParseDay('2026-11-24')
export const CARD = '48217739'
export const OTHER_CARD = '30951466'

export const books = readPhraseBooks()

export function bookOf(language: string): PhraseBook {
  const book = books.get(language)
  if (book === undefined) throw new Error(`no phrase book for ${language}`)
  return book
}

/** Someone who dials, in a language; the district writes in all of them. */
export function aCaller(language: string, wish: Partial<Caller> = {}): Caller {
  return {
    book: bookOf(language),
    today: TODAY,
    calendar: 'gregory',
    isDayFirst: true,
    region: 'GB',
    place: 'Upper Mbari Health Post',
    languages: [...books.values()],
    hasOwnChildren: true,
    ...wish,
  }
}

const asha = { child: 'Maximiliana', birthOn: mustParseDay('2026-01-31') }
const vaccines = ['BCG', 'HEPB', 'BOPV', 'FIPV', 'PENTA', 'PCV', 'ROTA', 'MR', 'MENA', 'YF', 'HPV']
const names = Array.from({ length: 13 }, (_, number) => `Upper Mbari North Site ${number}`)

function visit(number: number): FamilyVisit {
  const on = addDays(TODAY, 7 * number)
  return {
    childId: `child-${number}`,
    child: 'Maximiliana, Jasper',
    count: 2,
    on,
    place: 'Upper Mbari School 2',
  }
}

/** Everything as long and as many as it gets. */
export const FULL: StepFacts = {
  'vaccinator-home': null,
  'manager-home': null,
  'family-home': { visits: [visit(1), visit(2), visit(3)], isStopped: false },
  resume: null,
  result: null,
  card: null,
  vaccines: { ...asha, isFollowed: true, due: vaccines.slice(0, 9), others: vaccines.slice(9) },
  'other-vaccines': { ...asha, isFollowed: true, due: vaccines.slice(0, 2), others: vaccines.slice(2) },
  'check-doses': {
    ...asha,
    uncounted: [
      { vaccine: 'PENTA', reason: 'too-soon' },
      { vaccine: 'MR', reason: 'live-conflict' },
    ],
    known: ['BOPV'],
  },
  'which-day': null,
  due: {
    place: 'Upper Mbari Health Post',
    on: addDays(TODAY, 1),
    children: names.map((_, number) => ({ card: String(48_217_739 + number), child: 'Maximiliana' })),
  },
  village: names,
  birth: null,
  sex: null,
  phone: null,
  name: null,
  'check-enrolment': null,
  alike: null,
  undo: '4821 7739 BOPV, FIPV, PENTA, PCV, ROTA',
  technique: null,
  'technique-card': null,
  'which-visit': { visits: [visit(1), visit(2), visit(3)], isStopped: false },
  move: { visit: visit(1), next: addDays(TODAY, 14) },
  after: new Set(['injection', 'intradermal', 'bcg', 'drops']),
  language: null,
  'check-language': null,
  stop: null,
  start: null,
  'which-place': names.map((name) => ({ id: name, name })),
  coverage: {
    place: 'Upper Mbari North Site 3',
    period: '2026',
    lines: ['BCG 1', 'PENTA 1', 'PENTA 3', 'FIPV 1', 'FIPV 2', 'MCV 1', 'MCV 2'].map((dose) => ({
      dose,
      percent: '100.0',
      reached: 10_000,
      target: 10_000,
    })),
  },
  missed: { place: 'Upper Mbari North Site 3', count: 21 },
}

/** Nothing due, nobody found, nothing planned, and a family that wants no reminders. */
export const BARE: StepFacts = {
  ...FULL,
  'family-home': { visits: [], isStopped: true },
  vaccines: { ...asha, isFollowed: false, due: [], others: ['MR'] },
  'other-vaccines': null,
  'check-doses': null,
  due: { place: 'Mbari', on: TODAY, children: [] },
  village: ['Mbari'],
  undo: null,
  move: null,
  after: new Set(),
  'which-place': [],
  coverage: { place: 'Mbari', period: '2026', lines: [] },
  missed: { place: 'Mbari', count: 0 },
}

/** Who dials where. */
export interface World {
  readonly caller: Caller
  readonly facts: StepFacts
}

/** What a step shows in a world. */
export function viewIn({ caller, facts }: World, step: Step): View {
  return viewOf(step, facts[step.step], caller)
}

/** What comes of a key. */
export interface Turned extends Shown {
  readonly deed: Deed | null
}

/** Presses a key and does what it asks, as the service does; `answer` is what comes of a deed. */
export function turn(world: World, dialogue: Dialogue, typed: string, answer: Outcome = NO): Turned {
  const pressed = press(dialogue, typed, viewIn(world, currentStep(dialogue)), world.caller.book)
  if (pressed.kind === 'moved') return { ...shown(world, pressed.dialogue), deed: null }
  return { ...shown(world, settle(dialogue, answer)), deed: pressed.deed }
}

const NO: Outcome = { kind: 'refused', text: 'No.' }

/** The screen of a dialogue. */
export function shown(world: World, dialogue: Dialogue): Shown {
  return show(dialogue, viewIn(world, currentStep(dialogue)), world.caller.book)
}
