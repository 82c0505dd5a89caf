import { mustParseDay, addDays } from '../../src/core/days/day.ts'
import { currentStep, press, settle, show } from '../../src/core/menus/dialogue.ts'
import type { Outcome, Shown } from '../../src/core/menus/dialogue.ts'
import type { FamilyVisit, StepFacts } from '../../src/core/menus/facts.ts'
import type { Dialogue, Step } from '../../src/core/menus/step.ts'
import type { Caller, Deed, View } from '../../src/core/menus/view.ts'
import { viewOf } from '../../src/core/menus/view-of.ts'
import { say } from '../../src/core/texts/phrases.ts'
import type { PhraseBook } from '../../src/core/texts/phrases.ts'
import { readPhraseBooks } from '../../src/main/phrase-books.ts'

/** A district without a store: what menus ask for, to walk through them. */

export const TODAY = mustParseDay('2026-11-24')
export const CARD = '48217739'
export const OTHER_CARD = '30951466'

const books = readPhraseBooks()
export const LANGUAGES = [...books.keys()].sort()

function bookOf(language: string): PhraseBook {
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
    hasPin: true,
    hasOwnChildren: true,
    ...wish,
  }
}

/** Who dials where. */
export interface World {
  readonly caller: Caller
  readonly facts: StepFacts
}

const child = 'Maximiliana'
const birthOn = mustParseDay('2026-01-31')
const vaccines = ['BCG', 'HEPB', 'BOPV', 'FIPV', 'PENTA', 'PCV', 'ROTA', 'MR', 'MENA', 'YF', 'HPV']
const names = Array.from({ length: 13 }, (_, number) => `Upper Mbari North Site ${number}`)

/** Steps that must know nothing. */
const NOTHING = {
  'vaccinator-home': null,
  'manager-home': null,
  resume: null,
  'new-pin': null,
  result: null,
  card: null,
  'find-name': null,
  'which-day': null,
  birth: null,
  sex: null,
  phone: null,
  name: null,
  'check-enrolment': null,
  alike: null,
  expiry: null,
  conditions: null,
  'check-opening': null,
  'conditions-again': null,
  'vial-fault': null,
  why: null,
  'check-discard': null,
  'reaction-card': null,
  degrees: null,
  'check-degrees': null,
  technique: null,
  'technique-card': null,
  language: null,
  'check-language': null,
  stop: null,
  start: null,
} as const

function visit(number: number): FamilyVisit {
  const day = `Wed 24 Nov 09:00-13:0${number}`
  return {
    childId: `child-${number}`,
    child: `${child}, Jasper`,
    count: 2,
    day,
    place: 'Upper Mbari School 2',
  }
}

/** Everything as long and as many as it gets. */
export function fullWorld(language: string): World {
  const caller = aCaller(language)
  const { book } = caller
  const visits = [visit(1), visit(2), visit(3)]
  const place = 'Upper Mbari North Site 3'
  const until = 'Wed 24 Nov 23:59'
  const figure = { dose: 'PENTA 3', percent: '100.0', reached: 10_000, target: 10_000 }
  const facts: StepFacts = {
    ...NOTHING,
    pin: { act: { act: 'undo', card: null } },
    'find-village': names.map((name) => ({ id: name, name })),
    found: names.map((_, number) => ({ card: String(48_217_739 + number), child, birthOn })),
    vaccines: { child, isFollowed: true, due: vaccines.slice(0, 9), others: vaccines.slice(9) },
    'other-vaccines': { child, isFollowed: true, due: vaccines.slice(0, 2), others: vaccines.slice(2) },
    'check-doses': {
      child,
      birthOn,
      uncounted: [
        { vaccine: 'PENTA', reason: 'too-soon' },
        { vaccine: 'MR', reason: 'live-conflict' },
      ],
      known: ['BOPV'],
      refusal: null,
    },
    due: {
      place: 'Upper Mbari Health Post',
      on: addDays(TODAY, 1),
      children: names.map((_, number) => ({
        card: String(48_217_739 + number),
        child,
        isFlagged: number % 2 === 0,
      })),
    },
    village: names,
    vials: vaccines.map((vaccine, number) => ({ vial: String(1310 + number), vaccine, until })),
    'which-vaccine': vaccines,
    lot: ['L4471B', 'AB-12/34567', '0012345678'].map((lot) => ({ lot, expiry: addDays(TODAY, 200) })),
    vial: { vial: '1317', vaccine: 'FIPV', until, stop: null },
    'use-again': { vial: '1317', vaccine: 'FIPV', until, stop: null },
    signs: child,
    'check-signs': child,
    fridge: ['1', '2', 'store room'],
    undo: '4821 7739 BOPV, FIPV, PENTA, PCV, ROTA',
    'which-place': names.map((name) => ({ id: name, name })),
    coverage: [
      say(book, 'coverage-is', { place, period: '2025' }),
      ...['PENTA 1', 'PENTA 3', 'MCV 1'].map((dose) => say(book, 'coverage-line', { ...figure, dose })),
    ].join('\n'),
    missed: { place, count: 21 },
    'family-home': { visits, isStopped: false },
    'which-visit': { visits, isStopped: false },
    move: { visit: visit(1), next: 'Wed 1 Dec 09:00-13:00' },
    after: new Set(['injection', 'intradermal', 'bcg', 'drops']),
  }
  return { caller, facts }
}

/** Nothing due, nobody found, nothing planned, a dose that is refused, and a family that wants no reminders. */
export function bareWorld(language: string): World {
  const caller = aCaller(language, { hasOwnChildren: false, hasPin: false })
  const refusal = 'Wed 24 Nov is before the birth.'
  const facts: StepFacts = {
    ...NOTHING,
    pin: null,
    'find-village': [{ id: 'v', name: 'Mbari' }],
    found: [],
    vaccines: { child, isFollowed: false, due: [], others: ['MR'] },
    'other-vaccines': { child, isFollowed: false, due: [], others: ['MR'] },
    'check-doses': { child, birthOn, uncounted: [], known: [], refusal },
    due: { place: 'Mbari', on: TODAY, children: [] },
    village: ['Mbari'],
    vials: [{ vial: '317', vaccine: 'FIPV', until: 'Wed 24 Nov' }],
    'which-vaccine': ['FIPV'],
    lot: [],
    vial: { vial: '317', vaccine: 'FIPV', until: 'Wed 24 Nov', stop: 'vial-stop-time-up' },
    'use-again': { vial: '317', vaccine: 'FIPV', until: 'Wed 24 Nov', stop: 'vial-stop-used-up' },
    signs: 'Asha',
    'check-signs': 'Asha',
    fridge: [],
    undo: null,
    'which-place': [],
    coverage: say(caller.book, 'coverage-none', { place: 'Mbari' }),
    missed: { place: 'Mbari', count: 0 },
    'family-home': { visits: [], isStopped: true },
    'which-visit': { visits: [], isStopped: true },
    move: null,
    after: new Set(),
  }
  return { caller, facts }
}

/** As the bare one, but that no card is anyone's and a visit cannot be moved. */
export function emptyWorld(language: string): World {
  const { caller, facts } = bareWorld(language)
  const visits = [visit(1)]
  return {
    caller,
    facts: {
      ...facts,
      vaccines: null,
      'other-vaccines': null,
      'check-doses': null,
      vials: [],
      vial: null,
      'use-again': null,
      signs: null,
      'check-signs': null,
      fridge: ['1'],
      'family-home': { visits, isStopped: false },
      move: { visit: visit(1), next: null },
    },
  }
}

/** What a step shows in a world. */
export function viewIn({ caller, facts }: World, step: Step): View {
  return viewOf(step, facts[step.step], caller)
}

/** What comes of a key. */
export interface Turned extends Shown {
  readonly deed: Deed | null
}

const NO: Outcome = { kind: 'refused', text: 'No.' }

/** Presses a key and does what it asks, as the service does; `answer` is what comes of a deed. */
export function turn(world: World, dialogue: Dialogue, typed: string, answer: Outcome = NO): Turned {
  const pressed = press(dialogue, typed, viewIn(world, currentStep(dialogue)), world.caller.book)
  if (pressed.kind === 'moved') return { ...shown(world, pressed.dialogue), deed: null }
  return { ...shown(world, settle(dialogue, answer)), deed: pressed.deed }
}

/** The screen of a dialogue. */
export function shown(world: World, dialogue: Dialogue): Shown {
  return show(dialogue, viewIn(world, currentStep(dialogue)), world.caller.book)
}
