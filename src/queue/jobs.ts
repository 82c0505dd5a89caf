import { z } from 'zod'

/** What a job carries: identifiers, never words, names or numbers. */
export const job = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('read-text'), textInId: z.uuid() }),
  z.object({ kind: z.literal('send-text'), textOutId: z.uuid() }),
  z.object({ kind: z.literal('hand-over'), lane: z.string() }),
  z.object({ kind: z.literal('call-webhook'), callId: z.uuid() }),
])
export type Job = z.infer<typeof job>

/**
 * Start of all Redis keys of a queue. What stands in braces decides which node of a cluster holds a key: BullMQ's
 * scripts need the keys of one queue together, and different queues may lie on different nodes.
 */
export function keyPrefix(prefix: string, queue: string): string {
  return `{${prefix}-${queue}}`
}

/** Texts that came in. */
export const TEXTS_IN = 'texts-in'

/** Calls to other systems: a slow one holds up no text. */
export const WEBHOOKS = 'webhooks'

/** Replies and warnings of a lane: they never wait behind a morning's reminders, nor behind another lane in trouble. */
export function urgentQueue(lane: string): string {
  return `urgent-${lane}`
}

/** Reminders of a lane. */
export function bulkQueue(lane: string): string {
  return `bulk-${lane}`
}
