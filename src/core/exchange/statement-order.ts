import type { Day } from '../days/day.ts'

/** What two statements about one dose are compared by. */
export interface Statement {
  readonly statedAt: Date | null
  readonly isWithdrawn: boolean
  readonly childIssuer: string
  readonly childNumber: string
  readonly vaccine: string | null
  readonly givenOn: Day | null
  readonly dayText: string
  readonly postId: string | null
  readonly delivery: string
  readonly isElsewhere: boolean
}

/**
 * Which of two statements about one dose stands: the one its register changed later; without such a time, or at the
 * same one, a withdrawal, and then the greater by its facts. The order is total, so statements that arrive in any
 * order, any number of times, leave the same one standing.
 */
export function stands(incoming: Statement, known: Statement): boolean {
  const times = (incoming.statedAt?.getTime() ?? -Infinity) - (known.statedAt?.getTime() ?? -Infinity)
  if (times > 0 || times < 0) return times > 0
  if (incoming.isWithdrawn !== known.isWithdrawn) return incoming.isWithdrawn
  return inWords(incoming) > inWords(known)
}

function inWords(statement: Statement): string {
  const { childIssuer, childNumber, vaccine, givenOn, dayText, postId, delivery, isElsewhere } = statement
  return JSON.stringify([childIssuer, childNumber, vaccine, givenOn, dayText, postId, delivery, isElsewhere])
}
