import type { Day } from '../days/day.ts'

/** A reaction that stands in a child's record. */
export interface PastReaction {
  readonly reactionOn: Day
  readonly isSerious: boolean
  /** Sign codes. */
  readonly signs: readonly string[]
  /** Vaccines given before it; none of them is said to be its cause. */
  readonly vaccines: readonly string[]
}

/** For the worker's lists and texts only; a parent's reminder never carries it. */
export interface PastReactionFlag {
  /** The gravest reaction, and of equals the latest. */
  readonly reaction: PastReaction
  /** Vaccines due now that were also given before it. */
  readonly sameVaccines: readonly string[]
}

/**
 * Whether to ask a supervisor before the next doses: after a serious reaction always, after another one when a
 * vaccine comes again that was given before it.
 */
export function pastReactionFlag(
  reactions: readonly PastReaction[],
  dueVaccines: readonly string[],
): PastReactionFlag | undefined {
  return reactions
    .map((reaction) => ({
      reaction,
      sameVaccines: dueVaccines.filter((vaccine) => reaction.vaccines.includes(vaccine)),
    }))
    .filter(({ reaction, sameVaccines }) => reaction.isSerious || sameVaccines.length > 0)
    .sort(
      (a, b) =>
        Number(b.reaction.isSerious) - Number(a.reaction.isSerious) ||
        b.reaction.reactionOn - a.reaction.reactionOn,
    )[0]
}
