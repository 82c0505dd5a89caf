import pg from 'pg'

/**
 * The mark that a process uses a server of a home: a shared lock held by a database session.
 * A process that dies loses its session and with it the mark, so nothing has to be cleaned up.
 */
export interface Presence {
  /** Runs `work` while no other process runs its own. */
  readonly alone: <T>(work: () => Promise<T>) => Promise<T>
  /** Gives up the mark, and runs `stopServer` when nobody else holds one; newcomers wait meanwhile. */
  readonly leave: (stopServer: () => Promise<void>) => Promise<void>
}

const CONNECT_TIMEOUT_MS = 3000

/** The locks of a home; the other half of their key is the home's own. */
const LOCKS = { postgres: { present: 1, alone: 2 }, redis: { present: 3, alone: 4 } } as const

/** Marks this process as a user of the server; waits while the last user is stopping it. */
export async function enter(url: string, homeKey: number, server: keyof typeof LOCKS): Promise<Presence> {
  const client = new pg.Client({
    connectionString: url,
    connectionTimeoutMillis: CONNECT_TIMEOUT_MS,
    application_name: 'duebell presence',
  })
  // The server may stop first: then a query fails, or there is nothing left to do.
  client.on('error', () => undefined)
  const { present, alone } = LOCKS[server]
  const lock = (call: string, which: number) =>
    client.query<{ isDone: boolean | null }>(`select ${call}($1, $2) as "isDone"`, [homeKey, which])

  try {
    await client.connect()
    await lock('pg_advisory_lock_shared', present)
  } catch (error) {
    await client.end()
    throw error
  }
  return {
    alone: async (work) => {
      await lock('pg_advisory_lock', alone)
      try {
        return await work()
      } finally {
        await lock('pg_advisory_unlock', alone)
      }
    },
    leave: async (stopServer) => {
      try {
        // Own mark first: of two that leave at once, each would otherwise see the other.
        await lock('pg_advisory_unlock_shared', present)
        const { rows } = await lock('pg_try_advisory_lock', present)
        if (rows[0]?.isDone === true) await stopServer()
      } finally {
        await client.end()
      }
    },
  }
}
