import type { Report } from './commands.ts'
import { openHome } from './home.ts'
import { joinPostgres, stopPostgres } from './postgres.ts'
import { enter } from './presence.ts'
import { startRedis, stopRedis } from './redis.ts'

export interface ServerOptions {
  /** Address of a server that is already there; `null` is our own on the data folder. */
  readonly url: string | null
  readonly dataFolder: string
  /** True for data that may be lost in a crash, as in tests. */
  readonly isThrowaway: boolean
  readonly report: Report
}

export interface Server {
  readonly url: string
  /** Leaves the server; the last process to leave our own one stops it. */
  readonly close: () => Promise<void>
}

const given = (url: string): Server => ({ url, close: () => Promise.resolve() })

/** Makes sure that Postgres is there: the given one, the one that runs on the data folder, or a new one. */
export async function openPostgres(options: ServerOptions): Promise<Server> {
  if (options.url !== null) return given(options.url)
  const home = await openHome(options.dataFolder, options.report)
  const { url, presence } = await joinPostgres(home, options)
  return {
    url,
    close: () =>
      presence.leave(async () => {
        // One that a crashed process left running; nobody uses it without this Postgres.
        await stopRedis(home)
        await stopPostgres(home)
      }),
  }
}

/** Makes sure that Redis is there, like `openPostgres`; processes that share it agree over `databaseUrl`. */
export async function openRedis(options: ServerOptions, databaseUrl: string): Promise<Server> {
  if (options.url !== null) return given(options.url)
  const home = await openHome(options.dataFolder, options.report)
  const presence = await enter(databaseUrl, home.key, 'redis')
  const close = (): Promise<void> => presence.leave(() => stopRedis(home))
  try {
    return { url: await presence.alone(() => startRedis(home, options)), close }
  } catch (error) {
    await close()
    throw error
  }
}
