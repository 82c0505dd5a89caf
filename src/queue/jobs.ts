import { z } from 'zod'

/** What a job carries: identifiers, never words, names or numbers. */
export const job = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('read-text'), textInId: z.uuid() }),
  z.object({ kind: z.literal('send-text'), textOutId: z.uuid() }),
  z.object({ kind: z.literal('hand-over'), lane: z.string() }),
])
export type Job = z.infer<typeof job>

/** Texts that came in. */
export const TEXTS_IN = 'texts-in'

/** Replies and warnings of a lane: they never wait behind a morning's reminders, nor behind another lane in trouble. */
export function urgentQueue(lane: string): string {
  return `urgent-${lane}`
}

/** Reminders of a lane. */
export function bulkQueue(lane: string): string {
  return `bulk-${lane}`
}
