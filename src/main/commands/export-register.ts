import { createWriteStream } from 'node:fs'
import { writeFile } from 'node:fs/promises'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import type { Command } from 'commander'
import { systemClock } from '../../platform/clock.ts'

interface Options {
  readonly district?: string
}

/** `duebell export-register FILE`: the register as a file that import-register takes. */
export function addExportRegisterCommand(program: Command): void {
  program
    .command('export-register')
    .description(
      'Writes the register as the file that import-register takes: one row for each child that is followed, its routine doses in columns. It holds names and numbers: keep it as you keep the register.',
    )
    .argument('<file>', 'a .csv (RFC 4180, UTF-8) or .xlsx file to write')
    .option('--district <name>', 'the district; needed where there are several')
    .action(exportRegisterFile)
}

async function exportRegisterFile(file: string, options: Options): Promise<void> {
  const { withStore } = await import('../with-store.ts')
  const { openDeps, silentConveyor } = await import('../open-deps.ts')
  const { districtNamed } = await import('../../app/district-named.ts')
  const { noteExport, registerCsv, registerXlsx } = await import('../../app/export-register.ts')
  await withStore(async (store) => {
    const deps = openDeps(store, systemClock, silentConveyor)
    const { id } = await districtNamed(store.db, options.district)
    if (/\.xlsx$/i.test(file)) await writeFile(file, await registerXlsx(store.db, deps, id))
    else await pipeline(Readable.from(registerCsv(store.db, deps, id)), createWriteStream(file))
    await noteExport(store.db, deps, { districtId: id, by: 'export-register' })
  })
}
