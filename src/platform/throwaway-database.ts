import pg from 'pg'

/** A database of its own for a while. */
export interface ThrowawayDatabase {
  readonly url: string
  /** Drops it, whoever is still connected. */
  readonly drop: () => Promise<void>
}

/** Makes an empty database beside the one of `serverUrl`; `name` has only letters, digits and underscores. */
export async function makeThrowawayDatabase(serverUrl: string, name: string): Promise<ThrowawayDatabase> {
  if (!/^[a-z0-9_]+$/.test(name)) throw new RangeError(`not a plain database name: ${name}`)
  await runAlone(serverUrl, `create database ${name}`)
  const url = new URL(serverUrl)
  url.pathname = `/${name}`
  return { url: url.href, drop: () => runAlone(serverUrl, `drop database if exists ${name} with (force)`) }
}

/** Statements about whole databases run outside any transaction. */
async function runAlone(url: string, sql: string): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    await client.query(sql)
  } finally {
    await client.end()
  }
}
