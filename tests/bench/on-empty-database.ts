import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { openPostgres } from '../../src/platform/embedded/servers.ts'
import { openDatabase } from '../../src/store/database.ts'
import type { Database } from '../../src/store/database.ts'
import { migrate } from '../../src/store/migrate.ts'
import { testVault } from '../support/test-vault.ts'

/** Runs a measurement on an empty, migrated database of a server of its own. */
export async function onEmptyDatabase<T>(
  measure: (database: Database & { readonly url: string }) => Promise<T>,
): Promise<T> {
  const dataFolder = await mkdtemp(join(tmpdir(), 'duebell-bench-'))
  const server = await openPostgres({ url: null, dataFolder, isThrowaway: true, report: () => undefined })
  try {
    await migrate({ url: server.url, folder: 'prisma/migrations' })
    const database = await openDatabase({
      vault: testVault,
      url: server.url,
      maxConnections: 10,
      statementTimeoutMs: 0,
      random: () => 0.5,
      onConnectionLost: () => undefined,
    })
    try {
      return await measure({ ...database, url: server.url })
    } finally {
      await database.close()
    }
  } finally {
    await server.close()
    await rm(dataFolder, { recursive: true, force: true })
  }
}
