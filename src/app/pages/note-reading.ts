import { noteHandedOut } from '../audit/note-handed-out.ts'
import type { DistrictScope } from './district-scope.ts'
import type { Visitor } from './page-session.ts'

/** A page or file, and its words. */
interface HandedOut {
  readonly page: string
  readonly words: string
}

/** Keeps who read which page, and of which children it told. */
export async function noteReading(scope: DistrictScope, visitor: Visitor, read: HandedOut): Promise<void> {
  await note(scope, visitor, 'view', read)
}

/** Keeps who took which file away, with what was chosen for it and whom it names. */
export async function noteDownload(scope: DistrictScope, visitor: Visitor, taken: HandedOut): Promise<void> {
  await note(scope, visitor, 'download', taken)
}

async function note(
  { deps, district }: DistrictScope,
  visitor: Visitor,
  act: 'view' | 'download',
  { page, words }: HandedOut,
): Promise<void> {
  const change = {
    districtId: district.id,
    actor: visitor.holderId,
    act,
    subject: { kind: 'district', id: district.id },
    after: { page },
  }
  await noteHandedOut(deps.database.db, deps, change, words)
}
