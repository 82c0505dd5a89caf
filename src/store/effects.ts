import { z } from 'zod'
import { CHILD_STATUSES } from '../core/model.ts'

/** What a text changed, so that it can be taken back. */
export const effectShape = z.object({
  /** Recorded. */
  doseIds: z.array(z.string()).default([]),
  /** Enrolled. */
  childIds: z.array(z.string()).default([]),
  /** Entries beside the register: a vial opened or thrown away, a reaction, a temperature, a count. */
  entries: z
    .array(
      z.object({
        kind: z.enum(['vial', 'discard', 'reaction', 'temperature', 'stock']),
        id: z.string(),
        what: z.string(),
      }),
    )
    .default([]),
  /** Noted as not given. */
  notGivenIds: z.array(z.string()).default([]),
  /** Names as they were before. */
  names: z.array(z.object({ childId: z.string(), name: z.string() })).default([]),
  /** Statuses as they were before; days in ISO. */
  statuses: z
    .array(
      z.object({
        childId: z.string(),
        status: z.enum(CHILD_STATUSES),
        on: z.string().nullable(),
        reason: z.string().nullable(),
        awayUntil: z.string().nullable(),
      }),
    )
    .default([]),
})
export type Effect = z.infer<typeof effectShape>
