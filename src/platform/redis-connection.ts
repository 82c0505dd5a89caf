import { Cluster, Redis } from 'ioredis'

export interface RedisPlace {
  /** A server, or any one node of a cluster, which tells of the others. */
  readonly url: string
  readonly isCluster: boolean
}

export interface RedisPatience {
  /** How often a command is tried anew on a lost connection; null is for ever. */
  readonly maxRetriesPerRequest: number | null
  /** Whether commands wait for a connection that is not there yet. */
  readonly enableOfflineQueue: boolean
  /** After so many milliseconds without an answer a command fails. */
  readonly commandTimeout?: number
}

/** BullMQ's workers wait for Redis as long as it takes. */
export const ENDLESS: RedisPatience = { maxRetriesPerRequest: null, enableOfflineQueue: true }

/** A connection to Redis; whoever opens it ends it. */
export function connectRedis({ url, isCluster }: RedisPlace, patience: RedisPatience): Redis | Cluster {
  if (!isCluster) return new Redis(url, { ...patience })
  const { hostname: host, port, username, password, protocol } = new URL(url)
  const { enableOfflineQueue, ...each } = patience
  return new Cluster([{ host, port: port === '' ? 6379 : Number(port) }], {
    enableOfflineQueue,
    redisOptions: {
      ...each,
      ...(username === '' ? {} : { username: decodeURIComponent(username) }),
      ...(password === '' ? {} : { password: decodeURIComponent(password) }),
      ...(protocol === 'rediss:' ? { tls: {} } : {}),
    },
  })
}
