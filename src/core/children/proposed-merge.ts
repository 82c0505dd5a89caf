/** Which of two records of one child should stay, and which of its facts are better told by the other one. */
import type { Child, Dose } from '../model.ts'
import type { DoubleRules } from './double-rules.ts'
import { isUnnamed } from './compare-children.ts'
import { nameWords } from './name-likeness.ts'

/** Facts that the reviewer may take from either record; all else is kept of both. */
export const CHOSEN_FACTS = ['name', 'sex', 'birth', 'birthWeight', 'village'] as const
export type ChosenFact = (typeof CHOSEN_FACTS)[number]

/** A record with its doses, withdrawn ones too. */
export interface MergeSide {
  readonly child: Child
  readonly doses: readonly Dose[]
}

export interface ProposedFact {
  readonly fact: ChosenFact
  /** Of the record whose fact should stay. */
  readonly fromId: string
  readonly because: string
}

export interface ProposedMerge {
  readonly staysId: string
  readonly because: string
  readonly facts: readonly ProposedFact[]
}

/** A reason to prefer one side: the greater weight wins, equal ones leave it to the next reason. */
interface Preference {
  readonly because: string
  readonly weight: (side: MergeSide) => number
}

type Naming = Pick<DoubleRules, 'unnamedWords'>

const STAYS: readonly Preference[] = [
  { because: 'more doses on record', weight: ({ doses }) => livingOf(doses).length },
  { because: 'enrolled first', weight: ({ child }) => 0 - child.enrolledOn },
]

const PREFERENCES: Readonly<Record<ChosenFact, (rules: Naming) => readonly Preference[]>> = {
  name: (rules) => [
    { because: 'a name of its own', weight: ({ child }) => (isUnnamed(child.name, rules) ? 0 : 1) },
    { because: 'the fuller name', weight: ({ child }) => nameWords(child.name).length },
  ],
  sex: () => [{ because: 'recorded', weight: ({ child }) => (child.sex === null ? 0 : 1) }],
  birth: () => [
    { because: 'not estimated', weight: ({ child }) => (child.isBirthEstimated ? 0 : 1) },
    { because: 'with the hour', weight: ({ child }) => (child.birthMinute === null ? 0 : 1) },
  ],
  birthWeight: () => [
    { because: 'recorded', weight: ({ child }) => (child.birthWeightGrams === null ? 0 : 1) },
  ],
  village: () => [{ because: 'where the last dose was reported', weight: ({ doses }) => lastDayOf(doses) }],
}

/** The proposal for a pair; it does not depend on which of the two comes first. The rules stand in docs/doubles.md. */
export function proposeMerge(one: MergeSide, other: MergeSide, rules: Naming): ProposedMerge {
  const [first, second] = one.child.id < other.child.id ? [one, other] : [other, one]
  const { side, because } = preferred([first, second], STAYS, 'both tell as much')
  const leaves = side === first ? second : first
  const facts = CHOSEN_FACTS.map((fact) => {
    const choice = preferred([side, leaves], PREFERENCES[fact](rules), 'of the record that stays')
    return { fact, fromId: choice.side.child.id, because: choice.because }
  })
  return { staysId: side.child.id, because, facts }
}

function preferred(
  [first, second]: readonly [MergeSide, MergeSide],
  preferences: readonly Preference[],
  otherwise: string,
): { readonly side: MergeSide; readonly because: string } {
  for (const { because, weight } of preferences) {
    const [a, b] = [weight(first), weight(second)]
    if (a !== b) return { side: a > b ? first : second, because }
  }
  return { side: first, because: otherwise }
}

function livingOf(doses: readonly Dose[]): readonly Dose[] {
  return doses.filter(({ voidedAt }) => voidedAt === null)
}

function lastDayOf(doses: readonly Dose[]): number {
  return livingOf(doses).reduce((last, { givenOn }) => Math.max(last, givenOn), Number.NEGATIVE_INFINITY)
}
