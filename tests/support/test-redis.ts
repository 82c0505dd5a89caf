import { randomUUID } from 'node:crypto'
import { Redis } from 'ioredis'
import { testServers } from './test-servers.ts'

export interface TestRedis {
  readonly url: string
  /** Start of every key this file's queues may use. */
  readonly prefix: string
}

/** Gives a test file its own key prefix on the shared Redis and clears its keys after the last test. */
export function openTestRedis(): TestRedis {
  const { redisUrl: url } = testServers()
  const prefix = `test-${randomUUID()}`
  afterAll(async () => {
    const redis = new Redis(url)
    for await (const keys of redis.scanStream({ match: `*${prefix}*` }) as AsyncIterable<string[]>) {
      if (keys.length > 0) await redis.unlink(...keys)
    }
    redis.disconnect()
  })
  return { url, prefix }
}
