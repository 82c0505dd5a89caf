import { registerCsvText, registerXlsx } from '../../app/export-register.ts'
import type { DownloadedFile } from './download.ts'
import type { Visit } from './visit.ts'

/** The register of the district as a table of text, as import takes it. */
export async function registerFile({ scope }: Visit): Promise<DownloadedFile> {
  const { db, deps, district } = scope
  return { name: 'register.csv', content: await registerCsvText(db, deps, district.id) }
}

/** The register of the district as a workbook. */
export async function registerWorkbook({ scope }: Visit): Promise<DownloadedFile> {
  const { db, deps, district } = scope
  return {
    name: 'register.xlsx',
    content: await registerXlsx(db, deps, district.id),
    table: await registerCsvText(db, deps, district.id),
  }
}
