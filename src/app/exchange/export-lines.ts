import { createHmac } from 'node:crypto'
import { adverseEventResource } from '../../core/exchange/adverse-event-out.ts'
import { immunizationResource } from '../../core/exchange/immunization-out.ts'
import { patientResource } from '../../core/exchange/patient-out.ts'
import type { Resource } from '../../core/exchange/resource.ts'
import {
  adverseEventWithoutIdentity,
  immunizationWithoutIdentity,
  patientWithoutIdentity,
} from '../../core/exchange/without-identity.ts'
import type { Disguise } from '../../core/exchange/without-identity.ts'
import type { Db } from '../../store/database.ts'
import {
  countAlike,
  pageOfChildrenToTell,
  pageOfDosesToTell,
  pageOfReactionsToTell,
} from '../../store/exchange-pages.ts'
import type { PageWish } from '../../store/exchange-pages.ts'
import type { Deps } from '../deps.ts'
import { noteHandedOut } from '../audit/note-handed-out.ts'
import { noteChange } from '../note-change.ts'
import { findLocations } from './find-resources.ts'

export { databaseNow as exportTime } from '../../store/exchange-pages.ts'

export const EXPORTED = ['Patient', 'Immunization', 'AdverseEvent', 'Location'] as const
export type Exported = (typeof EXPORTED)[number]

export interface ExportWish {
  readonly type: Exported
  /** Null: every district. */
  readonly districtId: string | null
  readonly changed: { readonly from: Date | null; readonly before: Date | null }
  /** Null: with names and numbers. Else the secret of this export, from which its identifiers are made. */
  readonly salt: string | null
  readonly by: string
}

/** Rows in memory at once, whatever the size of the register. */
const PAGE = 500

/** Every resource of a type, one a line, page by page as the reader takes them; what went out is noted at the end. */
export async function* exportLines(db: Db, deps: Deps, wish: ExportWish): AsyncGenerator<string> {
  const { type, districtId, salt, by } = wish
  const change = {
    districtId,
    actor: by,
    act: 'exchange-out',
    subject: { kind: 'district', id: districtId },
  }
  let resources = 0
  for await (const page of pagesOf(db, deps, wish)) {
    const lines = page.map((resource) => `${JSON.stringify(resource)}\n`)
    // Before it goes: a reader that breaks off has it all the same. A disguised line names nobody.
    if (salt === null) await noteHandedOut(db, deps, { ...change, after: { type } }, lines.join(''))
    yield* lines
    resources += page.length
  }
  await noteChange(db, deps, { ...change, after: { type, resources, isIdentified: salt === null } })
}

function pagesOf(db: Db, deps: Deps, wish: ExportWish): AsyncIterable<readonly Resource[]> {
  const { codes, indicators } = deps.shelf
  const { salt, districtId } = wish
  const disguise: Disguise | null =
    salt === null
      ? null
      : { atLeast: indicators.publishedCountAtLeast, pseudonym: (id) => pseudonymOf(salt, id) }
  switch (wish.type) {
    case 'Patient':
      return pages(wish, async (page) => {
        const rows = await pageOfChildrenToTell(db, page)
        if (disguise === null) return told(rows, patientResource)
        const alike = await countAlike(
          db,
          rows.map(({ id }) => id),
        )
        const alone = { inVillage: 1, inDistrict: 1 }
        return told(rows, (row) => patientWithoutIdentity(row, alike.get(row.id) ?? alone, disguise))
      })
    case 'Immunization':
      return pages(wish, async (page) =>
        told(await pageOfDosesToTell(db, page), (row) =>
          disguise === null
            ? immunizationResource(row, codes)
            : immunizationWithoutIdentity(row, codes, disguise),
        ),
      )
    case 'AdverseEvent':
      return pages(wish, async (page) =>
        told(await pageOfReactionsToTell(db, page), (row) =>
          disguise === null ? adverseEventResource(row) : adverseEventWithoutIdentity(row, disguise),
        ),
      )
    case 'Location':
      return onePage(() => findLocations(db, districtId))
  }
}

/** Resources of a page and where it ended. */
interface Told {
  readonly resources: readonly Resource[]
  readonly lastId: string | undefined
}

function told<Row extends { readonly id: string }>(
  rows: readonly Row[],
  toResource: (row: Row) => Resource,
): Told {
  return { resources: rows.map(toResource), lastId: rows.at(-1)?.id }
}

async function* pages(
  { districtId, changed }: ExportWish,
  load: (page: PageWish) => Promise<Told>,
): AsyncGenerator<readonly Resource[]> {
  let afterId: string | undefined
  for (;;) {
    const { resources, lastId } = await load({ districtId, changed, afterId, limit: PAGE })
    yield resources
    if (resources.length < PAGE) return
    afterId = lastId
  }
}

async function* onePage(load: () => Promise<readonly Resource[]>): AsyncGenerator<readonly Resource[]> {
  yield await load()
}

/** In the shape of a UUID, so that it fits where identifiers go; nobody gets back from it without the salt. */
function pseudonymOf(salt: string, id: string): string {
  const hex = createHmac('sha256', salt).update(id).digest('hex')
  return hex.slice(0, 32).replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5')
}
