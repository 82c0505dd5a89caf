import { noteChange } from '../note-change.ts'
import type { DistrictScope } from './district-scope.ts'
import type { Visitor } from './page-session.ts'

/** Keeps who read which page: the pages name children. */
export async function noteReading(scope: DistrictScope, visitor: Visitor, page: string): Promise<void> {
  await note(scope, visitor, { act: 'view', page })
}

/** Keeps who took which file away, with what was chosen for it. */
export async function noteDownload(scope: DistrictScope, visitor: Visitor, page: string): Promise<void> {
  await note(scope, visitor, { act: 'download', page })
}

async function note(
  { deps, district }: DistrictScope,
  visitor: Visitor,
  { act, page }: { readonly act: 'view' | 'download'; readonly page: string },
): Promise<void> {
  await noteChange(deps.database.db, deps, {
    districtId: district.id,
    actor: visitor.holderId,
    act,
    subject: { kind: 'district', id: district.id },
    after: { page },
  })
}
