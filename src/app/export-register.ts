/** The register of a district as a file that import takes: children that are followed, and their routine doses. */
import { registerCells, registerSheet } from '../core/register/register-out.ts'
import type { Db } from '../store/database.ts'
import { getDistrict } from '../store/districts.ts'
import { pageRegister } from '../store/register-out.ts'
import { noteHandedOut } from './audit/note-handed-out.ts'
import { csvText } from './csv-text.ts'
import type { Deps } from './deps.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'
import { xlsxFile } from './xlsx-file.ts'

/** Children of one read: few enough to hold, enough that the trips to the database do not count. */
const PAGE = 500

/** The rows of a register, its titles first, in pages that need not be held together. */
async function* registerRows(
  db: Db,
  { shelf }: Pick<Deps, 'shelf'>,
  districtId: string,
): AsyncGenerator<readonly (readonly string[])[]> {
  const { scheduleCode } = await getDistrict(db, districtId)
  const sheet = registerSheet(newestOf(await versionsOf(db, shelf, scheduleCode)))
  yield [sheet.titles]
  for (let after = '', isLast = false; !isLast;) {
    const children = await pageRegister(db, districtId, { after, limit: PAGE })
    isLast = children.length < PAGE
    after = children.at(-1)?.cardNumber ?? after
    if (children.length > 0) yield children.map((child) => registerCells(sheet, child))
  }
}

/** As CSV (RFC 4180), piece by piece. */
export async function* registerCsv(
  db: Db,
  deps: Pick<Deps, 'shelf'>,
  districtId: string,
): AsyncGenerator<string> {
  let isFirst = true
  for await (const rows of registerRows(db, deps, districtId)) {
    yield csvText(rows, { hasMark: isFirst })
    isFirst = false
  }
}

/** As a workbook, which is held whole: very large registers go out as CSV. */
export async function registerXlsx(db: Db, deps: Pick<Deps, 'shelf'>, districtId: string): Promise<Buffer> {
  const rows: (readonly string[])[] = []
  for await (const page of registerRows(db, deps, districtId)) rows.push(...page)
  const [titles = [], ...cells] = rows
  return xlsxFile(
    'register',
    titles.map((name) => ({ name, width: Math.max(12, name.length + 2) })),
    cells,
  )
}

/** The CSV in one piece. */
export async function registerCsvText(
  db: Db,
  deps: Pick<Deps, 'shelf'>,
  districtId: string,
): Promise<string> {
  const pieces: string[] = []
  for await (const piece of registerCsv(db, deps, districtId)) pieces.push(piece)
  return pieces.join('')
}

/** Keeps that the register went out, and whom it names. */
export async function noteExport(
  db: Db,
  deps: Deps,
  { districtId, by }: { readonly districtId: string; readonly by: string },
): Promise<void> {
  const subject = { kind: 'district', id: districtId }
  const change = { districtId, actor: by, act: 'export-register', subject }
  await noteHandedOut(db, deps, change, await registerCsvText(db, deps, districtId))
}
