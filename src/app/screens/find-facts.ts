import type { FamilyFacts, StepFacts, WorkerFacts } from '../../core/menus/facts.ts'
import type { Step, StepName, StepOf } from '../../core/menus/step.ts'
import type { Family, KnownSender, Worker } from '../answering/sender.ts'
import type { Conversation } from '../answering/talk.ts'
import { lastCauses, visitMove, visitsOf } from './family-facts.ts'
import { childName, dosePreview, dueVaccines, expectedChildren } from './dose-facts.ts'
import { fridges, knownLots, openVials, vaccineNames, vialState } from './vial-facts.ts'
import { foundChildren } from './found-children.ts'
import {
  coverageFigures,
  lastEntryInWords,
  missedCount,
  ownVillagesFirst,
  villageNames,
  villages,
} from './work-facts.ts'

type Finders<Facts, Who extends KnownSender> = {
  readonly [Name in keyof Facts & StepName]: (
    conversation: Conversation<Who>,
    step: StepOf<Name>,
  ) => Promise<Facts[Name]>
}

const FOR_WORKERS: Finders<WorkerFacts, Worker> = {
  'find-village': ownVillagesFirst,
  found: foundChildren,
  vaccines: dueVaccines,
  'other-vaccines': dueVaccines,
  'check-doses': dosePreview,
  due: expectedChildren,
  village: villageNames,
  vials: openVials,
  'which-vaccine': vaccineNames,
  lot: knownLots,
  vial: vialState,
  'use-again': vialState,
  signs: childName,
  'check-signs': childName,
  fridge: fridges,
  undo: lastEntryInWords,
  'which-place': villages,
  coverage: coverageFigures,
  missed: missedCount,
}

const FOR_FAMILIES: Finders<FamilyFacts, Family> = {
  'family-home': visitsOf,
  'which-visit': visitsOf,
  move: visitMove,
  after: lastCauses,
}

/** Looks up what a step must know before it can be shown. */
export async function findFacts(conversation: Conversation, step: Step): Promise<StepFacts[StepName]> {
  const { sender } = conversation
  return sender.kind === 'worker'
    ? find(FOR_WORKERS, { ...conversation, sender }, step)
    : find(FOR_FAMILIES, { ...conversation, sender }, step)
}

async function find<Facts, Who extends KnownSender>(
  finders: Finders<Facts, Who>,
  conversation: Conversation<Who>,
  step: Step,
): Promise<StepFacts[StepName]> {
  // The table pairs each step with its own finder, which the compiler cannot follow; the others know nothing.
  const all = finders as Readonly<Partial<Record<StepName, Finder<Who>>>>
  return (await all[step.step]?.(conversation, step)) ?? null
}

type Finder<Who extends KnownSender> = (
  conversation: Conversation<Who>,
  step: Step,
) => Promise<StepFacts[StepName]>
