import type { Db } from '../store/database.ts'
import { insertChange } from '../store/changes.ts'
import type { Facts } from '../store/changes.ts'
import type { Deps } from './deps.ts'

export interface Change {
  readonly districtId: string | null
  /** Who did it: a token's name, a person's id, or `duebell` itself. */
  readonly actor: string
  readonly act: string
  /** Without an identifier: an address of the service. */
  readonly subject: { readonly kind: string; readonly id: string | null }
  readonly before?: Facts
  readonly after?: Facts
  /** Children that were told of, beside the subject; see audit/note-handed-out.ts. */
  readonly childIds?: readonly string[]
}

/** Keeps who changed what, in the transaction that changes it. */
export async function noteChange(db: Db, deps: Deps, change: Change): Promise<void> {
  await insertChange(db, {
    id: deps.newId(),
    districtId: change.districtId,
    happenedAt: deps.clock.now(),
    actor: change.actor,
    act: change.act,
    subjectKind: change.subject.kind,
    subjectId: change.subject.id,
    before: change.before ?? null,
    after: change.after ?? null,
    childIds: change.childIds ?? [],
  })
}
