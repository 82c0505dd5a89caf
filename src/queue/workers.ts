import { UnrecoverableError, Worker } from 'bullmq'
import type { Redis } from 'ioredis'
import type { BundleName, Log } from '../app/ports.ts'
import { unreachable } from '../core/refusals.ts'
import { job, QUEUES } from './jobs.ts'
import type { Job, QueueName } from './jobs.ts'

/** What the jobs stand for. Each is safe to run twice and to lose. */
export interface Handlers {
  readonly readText: (textInId: string) => Promise<void>
  readonly sendText: (textOutId: string) => Promise<void>
  readonly sendBundle: (bundle: BundleName) => Promise<void>
}

export interface WorkerOptions {
  readonly redis: Redis
  readonly prefix: string
  readonly log: Log
  /** Jobs under way at once, for each queue. */
  readonly concurrency: number
  /** Called after each job that will not run again, whatever came of it. */
  readonly onSettled?: () => void
}

export interface RunningWorkers {
  /** Takes no new job, waits for those under way. */
  readonly close: () => Promise<void>
}

/** Works through both queues until closed. */
export function startWorkers(options: WorkerOptions, handlers: Handlers): RunningWorkers {
  const workers = QUEUES.map((name) => startWorker(name, options, handlers))
  return {
    close: async () => {
      await Promise.all(workers.map((worker) => worker.close()))
    },
  }
}

function startWorker(name: QueueName, options: WorkerOptions, handlers: Handlers): Worker {
  const { redis, prefix, log, concurrency, onSettled } = options
  const worker = new Worker(name, (taken) => run(proven(taken.data), handlers), {
    connection: redis,
    prefix,
    concurrency,
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
    case 'send-bundle':
      return handlers.sendBundle({ lineId: work.lineId, kind: work.reminderKind, aboutOn: work.aboutOn })
    default:
      return unreachable(work)
  }
}
