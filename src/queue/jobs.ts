import { z } from 'zod'

/** The queues: answers and warnings never wait behind a morning's reminders. */
export const QUEUES = ['texts', 'reminders'] as const
export type QueueName = (typeof QUEUES)[number]

/** What a job carries: identifiers, never words, names or numbers. */
export const job = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('read-text'), textInId: z.uuid() }),
  z.object({ kind: z.literal('send-text'), textOutId: z.uuid() }),
  z.object({
    kind: z.literal('send-bundle'),
    lineId: z.uuid(),
    reminderKind: z.string(),
    aboutOn: z.iso.date(),
  }),
])
export type Job = z.infer<typeof job>
