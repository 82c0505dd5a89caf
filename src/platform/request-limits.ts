import { once } from 'node:events'
import type { Cluster, Redis } from 'ioredis'
import { RateLimiterMemory, RateLimiterRedis, RateLimiterRes } from 'rate-limiter-flexible'
import { connectRedis } from './redis-connection.ts'
import type { RedisPlace } from './redis-connection.ts'

export interface RequestLimitOptions {
  readonly place: RedisPlace
  /** Start of every key, within braces. */
  readonly prefix: string
  /** By the name of each limit, how many a minute; 0 is without limit. */
  readonly perMinute: Readonly<Record<string, number>>
}

export interface OpenRequestLimits {
  readonly take: (limit: string, key: string) => Promise<number>
  readonly wait: (limit: string, key: string) => Promise<number>
  readonly close: () => Promise<void>
}

const WINDOW_SECONDS = 60
/** A request never waits longer than this for its counter. */
const PATIENCE_MS = 250

/**
 * Counters in Redis, so that all processes count together. While Redis is away each process counts by itself: nobody
 * is locked out, and nobody gets in without limit.
 */
export async function openRequestLimits({
  place,
  prefix,
  perMinute,
}: RequestLimitOptions): Promise<OpenRequestLimits> {
  const redis = connectRedis(place, {
    enableOfflineQueue: false,
    maxRetriesPerRequest: 0,
    commandTimeout: PATIENCE_MS,
  })
  // Counting goes on without it; the queues' own connection says that Redis is away.
  redis.on('error', () => undefined)
  await once(redis, 'ready').catch(() => undefined)
  const limiters = new Map(
    Object.entries(perMinute)
      .filter(([, points]) => points > 0)
      .map(([name, points]) => [name, openLimiter(redis, `${prefix}:limit:${name}`, points)]),
  )
  return {
    take: async (limit, key) => secondsLeft(limiters.get(limit)?.consume(key)),
    wait: async (limit, key) => {
      const limiter = limiters.get(limit)
      const counted = await limiter?.get(key)
      return counted != null && limiter !== undefined && counted.consumedPoints >= limiter.points
        ? secondsOf(counted)
        : 0
    },
    close: async () => {
      await redis.quit().catch(() => {
        redis.disconnect()
      })
    },
  }
}

function openLimiter(redis: Redis | Cluster, keyPrefix: string, points: number): RateLimiterRedis {
  const limit = { keyPrefix, points, duration: WINDOW_SECONDS }
  return new RateLimiterRedis({
    ...limit,
    storeClient: redis,
    rejectIfRedisNotReady: true,
    // Whoever is over the limit is refused without asking Redis again.
    inMemoryBlockOnConsumed: points + 1,
    insuranceLimiter: new RateLimiterMemory(limit),
  })
}

/** A limiter resolves while the limit holds and rejects with the same facts beyond it. */
async function secondsLeft(taken: Promise<RateLimiterRes> | undefined): Promise<number> {
  try {
    await taken
    return 0
  } catch (error) {
    if (error instanceof RateLimiterRes) return secondsOf(error)
    throw error
  }
}

function secondsOf({ msBeforeNext }: RateLimiterRes): number {
  return Math.max(1, Math.ceil(msBeforeNext / 1000))
}
