import type { Sender } from '../reading/act.ts'
import { askCard, askDay, checkDoses, due, otherVaccines, vaccines } from './dose-views.ts'
import { alike, askBirth, askName, askPhone, askSex, askVillage, checkEnrolment } from './enrolment-views.ts'
import type { StepFacts } from './facts.ts'
import { after, checkLanguage, move, start, stop, whichLanguage, whichVisit } from './family-views.ts'
import { askNameOf, found, whichVillage } from './find-views.ts'
import { familyHome, managerHome, result, resume, vaccinatorHome } from './home-views.ts'
import { askNewPin, askPin } from './pin-views.ts'
import { askReactionCard, askSigns, checkSigns } from './reaction-views.ts'
import type { Step, StepName, StepOf } from './step.ts'
import { askDegrees, checkDegrees, whichFridge } from './temperature-views.ts'
import {
  askConditions,
  askConditionsAgain,
  askExpiry,
  askLot,
  askWhy,
  checkDiscard,
  checkOpening,
  useAgain,
  vial,
  vialFault,
  vials,
  whichVaccine,
} from './vial-views.ts'
import type { Caller, View } from './view.ts'
import { coverage, missed, technique, techniqueCard, undo, whichPlace } from './work-views.ts'

/** Whose step it is, and what it shows. A new task is a few lines here, and its facts. */
interface StepRule<Name extends StepName> {
  /** `null`: anyone's. */
  readonly of: Sender | null
  readonly view: (step: StepOf<Name>, facts: StepFacts[Name], caller: Caller) => View
}

const RULES: { readonly [Name in StepName]: StepRule<Name> } = {
  resume: { of: null, view: (_step, _facts, caller) => resume(caller) },
  result: { of: null, view: (step, _facts, caller) => result(step, caller) },

  pin: { of: null, view: (_step, facts, caller) => askPin(facts, caller) },
  'new-pin': { of: null, view: (_step, _facts, caller) => askNewPin(caller) },

  'vaccinator-home': { of: 'vaccinator', view: (_step, _facts, caller) => vaccinatorHome(caller) },
  card: { of: 'vaccinator', view: (_step, _facts, caller) => askCard(caller) },
  'find-village': { of: 'vaccinator', view: whichVillage },
  'find-name': { of: 'vaccinator', view: (step, _facts, caller) => askNameOf(step, caller) },
  found: { of: 'vaccinator', view: found },
  vaccines: { of: 'vaccinator', view: vaccines },
  'other-vaccines': { of: 'vaccinator', view: otherVaccines },
  'check-doses': { of: 'vaccinator', view: checkDoses },
  'which-day': { of: 'vaccinator', view: (step, _facts, caller) => askDay(step, caller) },
  due: { of: 'vaccinator', view: (_step, facts, caller) => due(facts, caller) },
  village: { of: 'vaccinator', view: (_step, facts, caller) => askVillage(facts, caller) },
  birth: { of: 'vaccinator', view: (step, _facts, caller) => askBirth(step, caller) },
  sex: { of: 'vaccinator', view: (step, _facts, caller) => askSex(step, caller) },
  phone: { of: 'vaccinator', view: (step, _facts, caller) => askPhone(step, caller) },
  name: { of: 'vaccinator', view: (step, _facts, caller) => askName(step, caller) },
  'check-enrolment': { of: 'vaccinator', view: (step, _facts, caller) => checkEnrolment(step, caller) },
  alike: { of: 'vaccinator', view: (step, _facts, caller) => alike(step, caller) },
  vials: { of: 'vaccinator', view: (_step, facts, caller) => vials(facts, caller) },
  'which-vaccine': { of: 'vaccinator', view: (_step, facts, caller) => whichVaccine(facts, caller) },
  lot: { of: 'vaccinator', view: askLot },
  expiry: { of: 'vaccinator', view: (step, _facts, caller) => askExpiry(step, caller) },
  conditions: { of: 'vaccinator', view: (step, _facts, caller) => askConditions(step, caller) },
  'check-opening': { of: 'vaccinator', view: (step, _facts, caller) => checkOpening(step, caller) },
  vial: { of: 'vaccinator', view: vial },
  'conditions-again': { of: 'vaccinator', view: (step, _facts, caller) => askConditionsAgain(step, caller) },
  'use-again': { of: 'vaccinator', view: (_step, facts, caller) => useAgain(facts, caller) },
  'vial-fault': { of: 'vaccinator', view: (step, _facts, caller) => vialFault(step, caller) },
  why: { of: 'vaccinator', view: (step, _facts, caller) => askWhy(step, caller) },
  'check-discard': { of: 'vaccinator', view: (step, _facts, caller) => checkDiscard(step, caller) },
  'reaction-card': { of: 'vaccinator', view: (_step, _facts, caller) => askReactionCard(caller) },
  signs: { of: 'vaccinator', view: askSigns },
  'check-signs': { of: 'vaccinator', view: checkSigns },
  fridge: { of: 'vaccinator', view: (_step, facts, caller) => whichFridge(facts, caller) },
  degrees: { of: 'vaccinator', view: (step, _facts, caller) => askDegrees(step, caller) },
  'check-degrees': { of: 'vaccinator', view: (step, _facts, caller) => checkDegrees(step, caller) },
  undo: { of: 'vaccinator', view: (_step, facts, caller) => undo(facts, caller) },
  technique: { of: 'vaccinator', view: (_step, _facts, caller) => technique(caller) },
  'technique-card': { of: 'vaccinator', view: (step, _facts, caller) => techniqueCard(step, caller) },

  'family-home': { of: 'parent', view: (_step, facts, caller) => familyHome(facts, caller) },
  'which-visit': { of: 'parent', view: (_step, facts, caller) => whichVisit(facts, caller) },
  move: { of: 'parent', view: (_step, facts, caller) => move(facts, caller) },
  after: { of: 'parent', view: (_step, facts, caller) => after(facts, caller) },
  language: { of: 'parent', view: (_step, _facts, caller) => whichLanguage(caller) },
  'check-language': { of: 'parent', view: (step, _facts, caller) => checkLanguage(step, caller) },
  stop: { of: 'parent', view: (_step, _facts, caller) => stop(caller) },
  start: { of: 'parent', view: (_step, _facts, caller) => start(caller) },

  'manager-home': { of: 'manager', view: (_step, _facts, caller) => managerHome(caller) },
  'which-place': { of: 'manager', view: whichPlace },
  coverage: { of: 'manager', view: (_step, facts) => coverage(facts) },
  missed: { of: 'manager', view: (_step, facts, caller) => missed(facts, caller) },
}

/** What a step shows, given what it must know. */
export function viewOf<Name extends StepName>(
  step: StepOf<Name>,
  facts: StepFacts[Name],
  caller: Caller,
): View {
  return RULES[step.step].view(step, facts, caller)
}

/** Whose step it is; `null` where it is anyone's. */
export function ownerOf(step: Step): Sender | null {
  return RULES[step.step].of
}

/** The home menu of a role. */
export function homeOf(sender: Sender): Step {
  return { step: HOMES[sender] }
}

const HOMES = { vaccinator: 'vaccinator-home', manager: 'manager-home', parent: 'family-home' } as const
