import { Queue } from 'bullmq'
import type { Cluster, Redis } from 'ioredis'
import type { Conveyor, Log } from '../app/ports.ts'
import { bulkQueue, keyPrefix, TEXTS_IN, urgentQueue, WEBHOOKS } from './jobs.ts'
import type { Job } from './jobs.ts'

export interface ConveyorOptions {
  readonly redis: Redis | Cluster
  /** Sets this service's keys apart from those of others. */
  readonly prefix: string
  readonly lanes: readonly string[]
  /** The lane of a number. */
  readonly laneOf: (number: string) => string
  readonly now: () => Date
  readonly log: Log
}

export interface OpenConveyor extends Conveyor {
  /** Jobs of each queue that wait or are under way. */
  readonly countByQueue: () => Promise<ReadonlyMap<string, number>>
  /** All of them. */
  readonly countJobs: () => Promise<number>
  readonly close: () => Promise<void>
}

/** A hint that Redis does not take within this time is left to the sweeps. */
const HINT_TIMEOUT_MS = 1000
const ATTEMPTS = 5
/** Workers that go on with one lane at a time, over all processes. */
const STINTS = 2
/** A lane whose worker died gets another one after this time. */
const TICK_MS = 5000

/** Puts hints on BullMQ queues. A finished or failed job leaves nothing behind, so that its id may come again. */
export function openConveyor({ redis, prefix, lanes, laneOf, now, log }: ConveyorOptions): OpenConveyor {
  const names = [TEXTS_IN, WEBHOOKS, ...lanes.flatMap((lane) => [urgentQueue(lane), bulkQueue(lane)])]
  const queues = new Map(names.map((name) => [name, openQueue(name, { redis, prefix, log })]))

  async function hint(name: string, id: string, data: Job): Promise<void> {
    const added = queues.get(name)?.add(data.kind, data, {
      jobId: id,
      attempts: ATTEMPTS,
      backoff: { type: 'exponential', delay: 500, jitter: 0.5 },
      removeOnComplete: true,
      removeOnFail: true,
    })
    // Whoever no longer waits for it must not be surprised by its failure.
    added?.catch(() => undefined)
    try {
      await Promise.race([added, timeout(HINT_TIMEOUT_MS)])
    } catch (error) {
      log.warn('hint lost; a sweep will find the work', { queue: name, error: String(error) })
    }
  }

  async function countByQueue(): Promise<ReadonlyMap<string, number>> {
    const counts = [...queues].map(async ([name, queue]): Promise<[string, number]> => [
      name,
      (await queue.count()) + (await queue.getActiveCount()),
    ])
    return new Map(await Promise.all(counts))
  }

  return {
    readText: (textInId) => hint(TEXTS_IN, `read-${textInId}`, { kind: 'read-text', textInId }),
    sendText: ({ id, number }) =>
      hint(urgentQueue(laneOf(number)), `send-${id}`, { kind: 'send-text', textOutId: id }),
    handOver: async (lane) => {
      const tick = Math.floor(now().getTime() / TICK_MS)
      for (let stint = 0; stint < STINTS; stint += 1) {
        await hint(bulkQueue(lane), `hand-over-${tick}-${stint}`, { kind: 'hand-over', lane })
      }
    },
    callWebhook: (callId) => hint(WEBHOOKS, `call-${callId}`, { kind: 'call-webhook', callId }),
    countByQueue,
    countJobs: async () => [...(await countByQueue()).values()].reduce((sum, count) => sum + count, 0),
    close: async () => {
      await Promise.all([...queues.values()].map((queue) => queue.close()))
    },
  }
}

function openQueue(
  name: string,
  { redis, prefix, log }: Pick<ConveyorOptions, 'redis' | 'prefix' | 'log'>,
): Queue {
  const queue = new Queue(name, {
    connection: redis,
    prefix: keyPrefix(prefix, name),
    streams: { events: { maxLen: 1000 } },
  })
  queue.on('error', (error) => {
    log.warn('queue in trouble', { queue: name, error: error.message })
  })
  return queue
}

function timeout(ms: number): Promise<never> {
  return new Promise((_resolve, reject) => {
    setTimeout(() => {
      reject(new Error(`no answer within ${ms} ms`))
    }, ms).unref()
  })
}
