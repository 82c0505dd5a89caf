import type { ChildStatus } from '../../core/model.ts'
import { changeStatus } from '../change-child.ts'
import type { DistrictScope } from './district-scope.ts'
import { changeOwnChild } from './own-child.ts'
import type { Visitor } from './page-session.ts'

/** What may come of looking for a child, and what the child then is on the register. */
const STATUS_AFTER = {
  found: 'active',
  moved: 'moved',
  died: 'died',
  refused: 'refused',
  lost: 'lost',
} as const satisfies Record<string, ChildStatus>

export type Outcome = keyof typeof STATUS_AFTER
export const OUTCOMES: readonly Outcome[] = ['found', 'moved', 'died', 'refused', 'lost']

export interface FoundOutcome {
  readonly childId: string
  readonly outcome: Outcome
  readonly reason: string
}

/** Notes what came of looking for a child; its visits and reminders follow. @throws {Refusal} child-not-found */
export async function markOutcome(
  scope: DistrictScope,
  visitor: Visitor,
  { childId, outcome, reason }: FoundOutcome,
): Promise<void> {
  await changeOwnChild(scope, childId, (tx) =>
    changeStatus(tx, scope.deps, {
      childId,
      status: STATUS_AFTER[outcome],
      on: scope.today,
      reason: reasonFor(outcome, reason),
      by: visitor.holderId,
    }),
  )
}

/** Of a child that is followed on, only the reason says that it was found. */
function reasonFor(outcome: Outcome, reason: string): string | null {
  if (outcome === 'found') return reason === '' ? 'found' : `found: ${reason}`
  return reason === '' ? null : reason
}
