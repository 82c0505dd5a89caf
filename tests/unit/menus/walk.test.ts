import { beginDialogue, currentStep } from '../../../src/core/menus/dialogue.ts'
import type { Outcome } from '../../../src/core/menus/dialogue.ts'
import { KEYS, pagesOf, withSlip } from '../../../src/core/menus/pages.ts'
import type { Page } from '../../../src/core/menus/pages.ts'
import { dialogueSchema } from '../../../src/core/menus/step.ts'
import type { Dialogue, StepName } from '../../../src/core/menus/step.ts'
import type { Deed } from '../../../src/core/menus/view.ts'
import { homeOf } from '../../../src/core/menus/view-of.ts'
import { encodeGsm7 } from '../../../src/core/texts/gsm7.ts'
import { longSamples } from '../../../src/core/texts/long-samples.ts'
import { say } from '../../../src/core/texts/phrases.ts'
import type { PhraseBook } from '../../../src/core/texts/phrases.ts'
import { fitsScreen } from '../../../src/core/texts/segments.ts'
import { packScreen } from '../../../src/core/texts/septets.ts'
import {
  bareWorld,
  CARD,
  emptyWorld,
  fullWorld,
  LANGUAGES,
  OTHER_CARD,
  shown,
  turn,
  viewIn,
} from '../../support/menu-world.ts'
import type { Turned, World } from '../../support/menu-world.ts'

/*
 * Walks every way through the menus of every role in every language, where there is much to show and where there is
 * nothing: each key of each screen, good and bad entries, keys that mean nothing, deeds done, refused and doubtful.
 */

const ROLES = ['vaccinator', 'manager', 'parent'] as const
const WRONG_KEYS = ['', '#', '77', 'yes', '5 5 5']

/** What someone may type where a step asks for more than a key. */
const ENTRIES: Partial<Record<StepName, readonly string[]>> = {
  card: [CARD, '4821 7738', '4821773', OTHER_CARD],
  result: [OTHER_CARD, '4821 7738'],
  vaccines: ['12', '2 3', '1 9'],
  'other-vaccines': ['12'],
  'check-doses': [CARD],
  'which-day': ['2311', '23/11', '231126', '2512', '3113', '29022026'],
  birth: ['12102026', '121026', '25122026', '31022026', '01012001', '1210'],
  lot: ['L4471B', 'ab', '8'],
  expiry: ['0527', '052027', '31052027', '05/2027', '132027', '052020', '8'],
  'find-name': ['Asha', '12', 'आशा'],
  'reaction-card': [CARD, '4821 7738'],
  signs: ['12', '1 9'],
  pin: ['4821', '12'],
  'new-pin': ['481922 4821', '4821'],
  fridge: ['4.5', '4*5', '*2', '8', '99'],
  degrees: ['4.5', '4*5', '*2.0', '-12', '8', '99'],
  phone: ['07700 900123', '12345', '+447700900124'],
  name: ['Asha Temba', 'Zoë 🙂', 'आशा'],
}

/** Everything that may come of a deed, at its longest. */
function outcomesOf({ act }: Deed, book: PhraseBook): readonly Outcome[] {
  const samples = longSamples(book.language)
  const refused: Outcome = { kind: 'refused', text: say(book, 'error-village-missing') }
  const done = (text: string, card: string | null = null): Outcome => ({ kind: 'done', text, card })
  const children = [
    { card: CARD, child: 'Maximiliana' },
    { card: OTHER_CARD, child: 'Asha' },
  ]
  switch (act.act) {
    case 'record-doses':
      return [done(say(book, 'doses-recorded', samples)), refused]
    case 'enrol':
      return [done(say(book, 'enrolled', samples), CARD), refused, { kind: 'alike', children }]
    case 'open-vial':
      return [done(say(book, 'vial-opened', samples)), refused]
    case 'discard-vial':
      return [done(say(book, 'vial-discarded', samples)), refused]
    case 'report-reaction':
      return [done(say(book, 'reaction-serious', samples)), refused]
    case 'record-temperature':
      return [done(`${say(book, 'temperature-low', samples)} ${say(book, 'cold-discard', samples)}`), refused]
    case 'undo':
      return [done(say(book, 'undo-too-old', samples)), refused, { kind: 'pin' }]
    case 'set-pin':
      return [done(say(book, 'pin-unset'))]
    default:
      return [done(say(book, 'move-too-late', samples)), refused]
  }
}

/** Ways that differ only in which village, child or vaccine was chosen are one. */
function placeOf({ steps, page, isSlip, problem, isOver }: Dialogue): string {
  const trail = steps.map((step) => {
    if (step.step === 'which-place') return step.figure
    if ('signs' in step) return step.signs.length > 0 ? `${step.step}+` : step.step
    if (step.step === 'vial-fault') return step.fault
    if (step.step === 'check-discard') return step.reason
    return 'vaccines' in step && step.vaccines.length > 0 ? `${step.step}+` : step.step
  })
  return JSON.stringify([trail, page, isSlip, problem?.code, isOver])
}

function pagesIn(world: World, dialogue: Dialogue): readonly Page[] {
  const frame = { book: world.caller.book, depth: dialogue.steps.length }
  return [...pagesOf(viewIn(world, currentStep(dialogue)), frame)]
}

function keysOn(world: World, dialogue: Dialogue): readonly string[] {
  const options = pagesIn(world, dialogue)[dialogue.page]?.options.keys() ?? []
  return [...Object.values(KEYS), ...options, ...WRONG_KEYS, ...(ENTRIES[currentStep(dialogue).step] ?? [])]
}

/** Every screen a key may lead to. */
function comesOf(world: World, { dialogue }: Turned, key: string): readonly Turned[] {
  const next = turn(world, dialogue, key)
  if (next.deed === null) return [next]
  return outcomesOf(next.deed, world.caller.book).map((outcome) => turn(world, dialogue, key, outcome))
}

interface Walk {
  readonly screens: readonly Turned[]
  readonly keys: number
}

function walk(world: World, role: (typeof ROLES)[number]): Walk {
  const seen = new Map<string, Turned>()
  let keys = 0
  const waiting: Turned[] = [{ ...shown(world, beginDialogue(homeOf(role))), deed: null }]
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (seen.has(placeOf(at.dialogue))) continue
    seen.set(placeOf(at.dialogue), at)
    if (at.ends) continue
    const here = at
    const nexts = keysOn(world, at.dialogue).flatMap((key) => comesOf(world, here, key))
    keys += nexts.length
    waiting.push(...nexts.filter((next) => !seen.has(placeOf(next.dialogue))))
  }
  return { screens: [...seen.values()], keys }
}

/** maxUSSD-StringLength of the Mobile Application Part (3GPP TS 29.002). */
const MOST_OCTETS = 160

function octetsOf(text: string): number {
  const septets = encodeGsm7(text)
  return septets === undefined ? text.length * 2 : packScreen(septets).length
}

/** What is wrong with a screen: too long, no way back, a state that cannot be stored, words not filled in. */
function faultsOf(world: World, { dialogue, text, ends }: Turned): string[] {
  const stored = dialogueSchema.safeParse(JSON.parse(JSON.stringify(dialogue)))
  const hasBack = text.split('\n').at(-1)?.startsWith(`${KEYS.back} `) === true
  const isRoomy = pagesIn(world, dialogue).every((page) => fitsScreen(withSlip(page.text, world.caller.book)))
  const faults = {
    'too long': !fitsScreen(text) || octetsOf(text) > MOST_OCTETS,
    'no room for a word about a wrong key': !isRoomy,
    'no way back': !ends && !hasBack,
    'back does not come to an end':
      !ends && !isNearerEnd(turn(world, dialogue, KEYS.back).dialogue, dialogue),
    'the key that writes does something else': !ends && isFinalKeyShared(world, dialogue),
    'cannot be stored': !stored.success,
    'not filled in': /[{}]|undefined|NaN|null/.test(text),
  }
  return Object.entries(faults).flatMap(([fault, isThere]) => (isThere ? [`${fault}: ${text}`] : []))
}

/** Fewer steps, or an earlier page of the same: pressing back again and again comes to an end. */
function isNearerEnd(to: Dialogue, from: Dialogue): boolean {
  const isShorter = to.steps.length < from.steps.length
  return to.isOver || isShorter || (to.steps.length === from.steps.length && to.page < from.page)
}

/** A network may bring a key twice: the key that writes must never be one that leads to where it writes. */
function isFinalKeyShared(world: World, dialogue: Dialogue): boolean {
  const writing = keysOn(world, dialogue).filter((key) => turn(world, dialogue, key).deed !== null)
  const { deed, dialogue: next } = turn(world, dialogue, KEYS.final)
  // A PIN writes by itself; brought twice, it means nothing on the screen that follows.
  if (['pin', 'new-pin'].includes(currentStep(dialogue).step)) return deed !== null
  const hasMoved = deed === null && next.steps.length !== dialogue.steps.length
  return hasMoved || writing.some((key) => key !== KEYS.final)
}

const ALL_STEPS = Object.keys(fullWorld('en').facts).filter((step) => step !== 'resume')
const counted = { screens: 0, keys: 0 }

describe.each(LANGUAGES)('the menus in %s', (language) => {
  const worlds = [fullWorld, bareWorld, emptyWorld].map((make) => make(language))

  test('fit, lead back and end on every way of every role', () => {
    const reached = new Set<string>()
    const faults = new Set<string>()
    for (const [world, role] of worlds.flatMap((each) => ROLES.map((as) => [each, as] as const))) {
      const { screens, keys } = walk(world, role)
      counted.screens += screens.length
      counted.keys += keys
      for (const { dialogue } of screens) reached.add(currentStep(dialogue).step)
      for (const fault of screens.flatMap((screen) => faultsOf(world, screen))) faults.add(fault)
    }

    expect([...faults]).toEqual([])
    expect([...reached].sort()).toEqual([...ALL_STEPS].sort())
  }, 120_000)
})

afterAll(() => {
  console.log(`${LANGUAGES.length} languages: ${counted.screens} screens, ${counted.keys} keys pressed`)
})
