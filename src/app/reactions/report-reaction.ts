import type { Day } from '../../core/days/day.ts'
import { dayAt } from '../../core/days/zoned-time.ts'
import type { Child, District } from '../../core/model.ts'
import { assessReaction } from '../../core/reactions/assess-reaction.ts'
import type { ReactionAssessment } from '../../core/reactions/assess-reaction.ts'
import type { Reaction } from '../../core/reactions/reaction.ts'
import { Refusal } from '../../core/refusals.ts'
import { formatDay } from '../../core/days/day.ts'
import type { Transaction } from '../../store/database.ts'
import { livingDosesOf } from '../../store/doses.ts'
import { insertReaction } from '../../store/reactions.ts'
import type { Deps } from '../deps.ts'
import { announce } from '../webhooks/announce.ts'
import { raiseAlert } from './alerts.ts'
import { raiseClusters } from './clusters.ts'
import { tellFamilyToGo } from './tell-family.ts'

/** A reaction as someone reports it. */
export interface ReactionTold {
  readonly district: District
  readonly child: Child
  readonly postId: string | null
  readonly words: string
  /** Sign codes picked from a list. */
  readonly signs: readonly string[]
  readonly outcomes: readonly string[]
  readonly reactionOn: Day
  readonly reportedAt: Date
  readonly by: string
  readonly via: 'api' | 'sms' | 'ussd'
  readonly textInId: string | null
}

/**
 * Stores a reaction, and where it is serious tells the district and the family at once. It says nothing of a cause.
 * @throws {Refusal} reaction-before-dose, reaction-in-future; a serious one has been acted on all the same
 */
export async function reportReaction(tx: Transaction, deps: Deps, told: ReactionTold): Promise<Reaction> {
  const { district, child, reactionOn, reportedAt } = told
  const doses = (await livingDosesOf(tx, [child.id])).get(child.id) ?? []
  const reportedOn = dayAt(reportedAt, district.timeZone)
  const given = doses.map(({ vaccine, givenOn }) => ({ vaccine, on: givenOn }))
  const assessment = assessReaction({ ...told, reportedOn, doses: given }, deps.shelf.signs)
  if (assessment.kind === 'refused') throw await refusalFor(deps, told, assessment)
  const reaction = await insertReaction(tx, {
    id: deps.newId(),
    districtId: district.id,
    childId: child.id,
    postId: told.postId,
    reactionOn,
    reportedAt,
    reportedBy: told.by,
    reportedVia: told.via,
    textInId: told.textInId,
    words: told.words,
    signs: assessment.signs.map(({ code }) => code),
    outcomes: told.outcomes,
    isSerious: assessment.isSerious,
    route: assessment.route,
    doseIds: doses
      .filter((dose) => assessment.doses.some(({ on }) => on === dose.givenOn))
      .map(({ id }) => id),
  })
  await announce(tx, deps, district, [{ kind: 'reaction', childId: child.id, subjectId: reaction.id }])
  if (reaction.isSerious) {
    await alertOf(tx, deps, told, reaction.id)
    await tellFamilyToGo(tx, deps, { district, child, reaction })
  }
  await raiseClusters(tx, deps, { district, reactionId: reaction.id })
  return reaction
}

async function alertOf(
  tx: Transaction,
  deps: Deps,
  { district, child, postId, words }: ReactionTold,
  reactionId: string | null,
): Promise<void> {
  await raiseAlert(tx, deps, {
    districtId: district.id,
    kind: 'reaction',
    subject: reactionId ?? `date of ${child.id}`,
    postId,
    childId: child.id,
    reactionId,
    words,
  })
}

/** The date cannot be; a serious reaction must not wait for a better one, so its alert is raised on its own. */
async function refusalFor(
  deps: Deps,
  told: ReactionTold,
  { reason, isSerious }: Extract<ReactionAssessment, { kind: 'refused' }>,
): Promise<Refusal> {
  if (isSerious) await deps.database.transaction((own) => alertOf(own, deps, told, null))
  const day = formatDay(told.reactionOn)
  const facts = { isSerious, word: day }
  if (reason === 'in-future')
    return new Refusal('reaction-in-future', `${day} is still to come; send the day on which it began.`, {
      facts,
    })
  return new Refusal(
    'reaction-before-dose',
    `${day} is before the first dose on record; check the day and the card.`,
    { facts },
  )
}
