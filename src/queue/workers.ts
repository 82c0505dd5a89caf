import { UnrecoverableError, Worker } from 'bullmq'
import type { Cluster, Redis } from 'ioredis'
import type { Log } from '../app/ports.ts'
import { unreachable } from '../core/refusals.ts'
import { bulkQueue, job, keyPrefix, TEXTS_IN, urgentQueue, WEBHOOKS } from './jobs.ts'
import type { Job } from './jobs.ts'

/** What the jobs stand for. Each is safe to run twice and to lose. */
export interface Handlers {
  readonly readText: (textInId: string) => Promise<void>
  readonly sendText: (textOutId: string) => Promise<void>
  readonly handOver: (lane: string) => Promise<void>
  readonly callWebhook: (callId: string) => Promise<void>
}

export interface WorkerOptions {
  readonly redis: Redis | Cluster
  /** As the conveyor's. */
  readonly prefix: string
  /** Whether this process reads texts that came in. */
  readonly reads: boolean
  /** Whether it sends texts and calls webhooks. */
  readonly sends: boolean
  readonly lanes: readonly string[]
  readonly log: Log
  /** Texts read, and texts of a lane sent, at once. */
  readonly concurrency: number
  /** Called after each job that will not run again, whatever came of it. */
  readonly onSettled?: () => void
}

export interface RunningWorkers {
  /** Takes no new job, waits for those under way. */
  readonly close: () => Promise<void>
}

/** A job whose worker says nothing for so long goes to another. */
const DEAD_AFTER_MS = 10_000

/** Batches of a lane that one process has under way at once. */
const BULK_CONCURRENCY = 2

/** Works through its queues until closed. */
export function startWorkers(options: WorkerOptions, handlers: Handlers): RunningWorkers {
  const { lanes, concurrency, reads, sends } = options
  const done = new Map<string, number>()
  const readers = reads ? [startWorker(TEXTS_IN, concurrency, options, handlers)] : []
  const senders = (sends ? lanes : []).flatMap((lane) => [
    startWorker(urgentQueue(lane), concurrency, options, handlers),
    startWorker(bulkQueue(lane), BULK_CONCURRENCY, options, handlers),
  ])
  const callers = sends ? [startWorker(WEBHOOKS, concurrency, options, handlers)] : []
  const workers = [...readers, ...senders, ...callers]
  for (const worker of workers)
    worker.on('completed', ({ name }) => done.set(name, (done.get(name) ?? 0) + 1))
  return {
    close: async () => {
      await Promise.all(workers.map((worker) => worker.close()))
      options.log.info('worked', Object.fromEntries(done))
    },
  }
}

function startWorker(
  name: string,
  concurrency: number,
  { redis, prefix, log, onSettled }: WorkerOptions,
  handlers: Handlers,
): Worker {
  const worker = new Worker(name, (taken) => run(proven(taken.data), handlers), {
    connection: redis,
    prefix: keyPrefix(prefix, name),
    concurrency,
    lockDuration: DEAD_AFTER_MS,
    stalledInterval: DEAD_AFTER_MS / 2,
  })
  worker.on('completed', () => onSettled?.())
  worker.on('failed', (taken, error) => {
    log.error('job failed', {
      queue: name,
      job: taken?.id,
      attempt: taken?.attemptsMade,
      error: error.message,
    })
    if (taken?.finishedOn !== undefined) onSettled?.()
  })
  worker.on('error', (error) => {
    log.warn('worker in trouble', { queue: name, error: error.message })
  })
  return worker
}

/** A job whose data Redis lost still fires, empty: it must fail by itself, not do half of something. */
function proven(data: unknown): Job {
  const parsed = job.safeParse(data)
  if (parsed.success) return parsed.data
  throw new UnrecoverableError('the job carries no readable data')
}

async function run(work: Job, handlers: Handlers): Promise<void> {
  switch (work.kind) {
    case 'read-text':
      return handlers.readText(work.textInId)
    case 'send-text':
      return handlers.sendText(work.textOutId)
    case 'hand-over':
      return handlers.handOver(work.lane)
    case 'call-webhook':
      return handlers.callWebhook(work.callId)
    default:
      return unreachable(work)
  }
}
