import { spawn } from 'node:child_process'
import type { ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import { Redis } from 'ioredis'
import { findProgram } from '../../src/platform/embedded/commands.ts'
import { freePort, LOOPBACK } from '../../src/platform/embedded/free-port.ts'

interface ClusterNode {
  readonly redis: Redis
  readonly process: ChildProcess
}

/** A Redis Cluster on loopback. */
export interface RedisCluster {
  /** The address of one of its nodes. */
  readonly url: string
  /** The keys on each node, in the order of the nodes. */
  readonly keys: () => Promise<string[][]>
  readonly stop: () => Promise<void>
}

/** A Redis Cluster divides its keys over so many slots (Redis Cluster specification, "Key distribution model"). */
const SLOTS = 16_384
const NODES = 3
const MOST_LOOKS = 200
const PAUSE_MS = 50

/** Starts a cluster of three nodes, each with a third of the slots (`redis-server` from the PATH). */
export async function startRedisCluster(): Promise<RedisCluster> {
  const program = await findProgram('redis-server', 'valkey-server')
  if (program === undefined) throw new Error('redis-server is not installed; run scripts/test.')
  const folder = await mkdtemp(join(tmpdir(), 'duebell-cluster-'))
  const nodes: ClusterNode[] = []
  for (let place = 0; place < NODES; place += 1) nodes.push(await startNode(program, folder))
  await joinNodes(nodes)
  const [first] = nodes
  return {
    url: `redis://${LOOPBACK}:${first?.redis.options.port ?? 0}`,
    keys: () => Promise.all(nodes.map(({ redis }) => redis.keys('*'))),
    stop: async () => {
      await Promise.all(nodes.map(stop))
      await rm(folder, { recursive: true })
    },
  }
}

async function startNode(program: string, folder: string): Promise<ClusterNode> {
  const [port, busPort] = [await freePort(), await freePort()]
  const settings = {
    ...{ bind: LOOPBACK, port, dir: folder, save: '', appendonly: 'no', 'maxmemory-policy': 'noeviction' },
    ...{ 'cluster-enabled': 'yes', 'cluster-port': busPort, 'cluster-config-file': `${port}.conf` },
  }
  const words = Object.entries(settings).flatMap(([name, value]) => [`--${name}`, String(value)])
  const process = spawn(program, words, { stdio: 'ignore' })
  const redis = new Redis({ host: LOOPBACK, port })
  redis.on('error', () => undefined)
  await redis.ping()
  return { redis, process }
}

async function joinNodes(nodes: readonly ClusterNode[]): Promise<void> {
  for (const [place, { redis }] of nodes.entries()) {
    const [from, to] = [place, place + 1].map((part) => Math.floor((SLOTS * part) / NODES))
    await redis.call('cluster', 'addslotsrange', String(from), String((to ?? SLOTS) - 1))
    const [host, port, bus] = await busOf(nodes[0])
    if (place > 0) await redis.call('cluster', 'meet', host, String(port), String(bus))
  }
  for (const { redis } of nodes) await untilWhole(redis)
}

/** Where the other nodes find one. */
async function busOf(node: ClusterNode | undefined): Promise<[string, number, number]> {
  const port = node?.redis.options.port ?? 0
  const answer = String(await node?.redis.config('GET', 'cluster-port'))
  return [LOOPBACK, port, Number(answer.split(',')[1])]
}

async function untilWhole(redis: Redis): Promise<void> {
  for (let look = 0; look < MOST_LOOKS; look += 1) {
    const info = await redis.cluster('INFO')
    if (info.includes('cluster_state:ok') && info.includes(`cluster_known_nodes:${NODES}`)) return
    await delay(PAUSE_MS)
  }
  throw new Error('the nodes of the Redis Cluster do not find each other')
}

async function stop({ redis, process }: ClusterNode): Promise<void> {
  redis.disconnect()
  if (process.exitCode !== null) return
  process.kill()
  await once(process, 'exit')
}
