/** Which role each screen is for. A screen without a row fails the test: whoever adds one says here whose it is. */
import { mayGoOn } from '../../../src/app/screens/speak.ts'
import type { Party } from '../../../src/app/screens/speak.ts'
import type { Dialogue, Step, StepName } from '../../../src/core/menus/step.ts'
import { ownerOf } from '../../../src/core/menus/view-of.ts'
import type { Sender } from '../../../src/core/reading/act.ts'
import { fullWorld } from '../../support/menu-world.ts'

const ROLES = ['vaccinator', 'manager', 'parent'] as const

/** `null`: whoever has a menu. */
const SCREENS: Readonly<Record<StepName, Sender | null>> = {
  resume: null,
  result: null,
  pin: null,
  'new-pin': null,
  'vaccinator-home': 'vaccinator',
  card: 'vaccinator',
  vaccines: 'vaccinator',
  'other-vaccines': 'vaccinator',
  'check-doses': 'vaccinator',
  'which-day': 'vaccinator',
  due: 'vaccinator',
  'find-village': 'vaccinator',
  'find-name': 'vaccinator',
  found: 'vaccinator',
  village: 'vaccinator',
  birth: 'vaccinator',
  sex: 'vaccinator',
  phone: 'vaccinator',
  name: 'vaccinator',
  'check-enrolment': 'vaccinator',
  alike: 'vaccinator',
  vials: 'vaccinator',
  'which-vaccine': 'vaccinator',
  lot: 'vaccinator',
  expiry: 'vaccinator',
  conditions: 'vaccinator',
  'check-opening': 'vaccinator',
  vial: 'vaccinator',
  'conditions-again': 'vaccinator',
  'use-again': 'vaccinator',
  'vial-fault': 'vaccinator',
  why: 'vaccinator',
  'check-discard': 'vaccinator',
  'reaction-card': 'vaccinator',
  signs: 'vaccinator',
  'check-signs': 'vaccinator',
  fridge: 'vaccinator',
  degrees: 'vaccinator',
  'check-degrees': 'vaccinator',
  undo: 'vaccinator',
  technique: 'vaccinator',
  'technique-card': 'vaccinator',
  'family-home': 'parent',
  'which-visit': 'parent',
  move: 'parent',
  after: 'parent',
  language: 'parent',
  'check-language': 'parent',
  stop: 'parent',
  start: 'parent',
  'manager-home': 'manager',
  'which-place': 'manager',
  coverage: 'manager',
  missed: 'manager',
}

/** Whose a step is depends on its name alone. */
const stepOf = (name: string): Step => ({ step: name }) as Step

test('every screen has a row that says whose it is, and every row a screen', () => {
  expect(Object.keys(SCREENS).sort()).toEqual(Object.keys(fullWorld('en').facts).sort())
})

test.each(Object.entries(SCREENS))('the screen %s is for the role of its row: %s', (name, owner) => {
  expect(ownerOf(stepOf(name))).toBe(owner)
})

test.each(Object.entries(SCREENS))('a dialogue at %s goes on for the role of its row only', (name, owner) => {
  const dialogue = { steps: [stepOf(name)] } as unknown as Dialogue
  const mayBe = ROLES.filter((as) => mayGoOn({ senders: [{ as }] } as unknown as Party, dialogue))

  expect(mayBe).toEqual(owner === null ? ROLES : [owner])
})
