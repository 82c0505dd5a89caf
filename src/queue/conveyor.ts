import { Queue } from 'bullmq'
import type { Redis } from 'ioredis'
import type { BundleName, Conveyor, Log } from '../app/ports.ts'
import { QUEUES } from './jobs.ts'
import type { Job, QueueName } from './jobs.ts'

export interface ConveyorOptions {
  readonly redis: Redis
  /** Sets this service's keys apart; braces around it keep a queue's keys on one node of a cluster. */
  readonly prefix: string
  readonly now: () => Date
  readonly log: Log
}

export interface OpenConveyor extends Conveyor {
  /** Jobs that wait, are due later or are under way. */
  readonly countJobs: () => Promise<number>
  readonly close: () => Promise<void>
}

/** A hint that Redis does not take within this time is left to the sweeps. */
const HINT_TIMEOUT_MS = 1000
const ATTEMPTS = 5

/** Puts hints on BullMQ queues. A finished or failed job leaves nothing behind, so that its id may come again. */
export function openConveyor({ redis, prefix, now, log }: ConveyorOptions): OpenConveyor {
  const queues = new Map(QUEUES.map((name) => [name, openQueue(name, { redis, prefix, now, log })]))

  async function hint(
    queue: QueueName,
    id: string,
    data: Job,
    options: { delay?: number; priority?: number },
  ) {
    const added = queues.get(queue)?.add(data.kind, data, {
      jobId: id,
      attempts: ATTEMPTS,
      backoff: { type: 'exponential', delay: 500, jitter: 0.5 },
      removeOnComplete: true,
      removeOnFail: true,
      ...options,
    })
    try {
      await Promise.race([added, timeout(HINT_TIMEOUT_MS)])
    } catch (error) {
      log.warn('hint lost; a sweep will find the work', { queue, error: String(error) })
    }
  }

  return {
    readText: (textInId) => hint('texts', `read-${textInId}`, { kind: 'read-text', textInId }, {}),
    sendText: (textOutId, isUrgent) =>
      hint('texts', `send-${textOutId}`, { kind: 'send-text', textOutId }, { priority: isUrgent ? 1 : 2 }),
    sendBundle: (bundle, at) =>
      hint('reminders', bundleJobId(bundle, at), bundleJob(bundle), {
        delay: Math.max(0, at.getTime() - now().getTime()),
      }),
    countJobs: async () => {
      const counts = await Promise.all([...queues.values()].map((queue) => queue.count()))
      const active = await Promise.all([...queues.values()].map((queue) => queue.getActiveCount()))
      return [...counts, ...active].reduce((sum, count) => sum + count, 0)
    },
    close: async () => {
      await Promise.all([...queues.values()].map((queue) => queue.close()))
    },
  }
}

function openQueue(name: QueueName, { redis, prefix, log }: ConveyorOptions): Queue {
  const queue = new Queue(name, { connection: redis, prefix, streams: { events: { maxLen: 1000 } } })
  queue.on('error', (error) => {
    log.warn('queue in trouble', { queue: name, error: error.message })
  })
  return queue
}

/** The hour is part of the name: a reminder that was moved gets a job of its own. */
function bundleJobId({ lineId, kind, aboutOn }: BundleName, at: Date): string {
  return `${lineId}-${kind}-${aboutOn}-${at.getTime()}`
}

function bundleJob({ lineId, kind, aboutOn }: BundleName): Job {
  return { kind: 'send-bundle', lineId, reminderKind: kind, aboutOn }
}

function timeout(ms: number): Promise<never> {
  return new Promise((_resolve, reject) => {
    setTimeout(() => {
      reject(new Error(`no answer within ${ms} ms`))
    }, ms).unref()
  })
}
