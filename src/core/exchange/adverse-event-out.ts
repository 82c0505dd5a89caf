import { formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { lastUpdated, reference, withoutEmpty } from './resource.ts'
import type { Resource } from './resource.ts'
import { SYSTEM } from './systems.ts'

/** All that an AdverseEvent resource tells of a reaction. */
export interface ReactionToTell {
  readonly id: string
  readonly childId: string
  readonly reactionOn: Day
  readonly reportedAt: Date
  readonly postId: string | null
  readonly words: string
  readonly signs: readonly string[]
  readonly outcomes: readonly string[]
  readonly isSerious: boolean
  readonly doseIds: readonly string[]
  readonly updatedAt: Date
}

/** Codes of adverse-event-seriousness (R4), the gravest first. */
const SERIOUSNESS: readonly (readonly [outcome: string, code: string])[] = [
  ['death', 'SeriousResultsInDeath'],
  ['life-threatening', 'SeriousIsLifeThreatening'],
  ['hospital-stay', 'SeriousResultsInHospitalization'],
  ['disability', 'SeriousResultsInDisability'],
  ['birth-defect', 'SeriousIsBirthDefect'],
]

/** A reaction as an AdverseEvent (R4). The doses before it are named, and none is said to be its cause. */
export function adverseEventResource(reaction: ReactionToTell): Resource {
  const { id, childId, postId, words, signs, outcomes } = reaction
  return withoutEmpty({
    resourceType: 'AdverseEvent',
    id,
    meta: lastUpdated(reaction.updatedAt),
    actuality: 'actual',
    event: withoutEmpty({ coding: signs.map((code) => ({ system: SYSTEM.sign, code })), text: words }),
    subject: reference('Patient', childId),
    date: formatDay(reaction.reactionOn),
    recordedDate: reaction.reportedAt.toISOString(),
    location: postId === null ? undefined : reference('Location', postId),
    seriousness: { coding: [{ system: SYSTEM.seriousness, code: seriousnessOf(reaction) }] },
    outcome: outcomes.includes('death') ? { coding: [{ system: SYSTEM.outcome, code: 'fatal' }] } : undefined,
    suspectEntity: reaction.doseIds.map((doseId) => ({
      instance: reference('Immunization', doseId),
      causality: [{ assessment: { text: 'not assessed; given before it' } }],
    })),
  })
}

function seriousnessOf({ isSerious, outcomes }: ReactionToTell): string {
  if (!isSerious) return 'Non-serious'
  return SERIOUSNESS.find(([outcome]) => outcomes.includes(outcome))?.[1] ?? 'Serious'
}
