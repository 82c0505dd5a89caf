import { z } from 'zod'
import type { Coding } from './resource.ts'

/** The parts of resources that are read on their way in. Everything else may be there and is passed over. */

const text = z.string().max(1000)

const codingShape = z.looseObject({
  system: text.optional(),
  code: text.optional(),
  display: text.optional(),
}) satisfies z.ZodType<Coding>

export const conceptShape = z.looseObject({
  coding: z.array(codingShape).default([]),
  text: text.optional(),
})

export const identifierShape = z.looseObject({ system: text.optional(), value: text.optional() })

export const referenceShape = z.looseObject({
  reference: text.optional(),
  identifier: identifierShape.optional(),
})

export type ResourceReference = z.output<typeof referenceShape>

export const telecomShape = z.looseObject({
  system: text.optional(),
  value: text.optional(),
  use: text.optional(),
})

export const extensionShape = z.looseObject({
  url: text,
  valueReference: referenceShape.optional(),
  valueBoolean: z.boolean().optional(),
  valueCode: text.optional(),
})

export const metaShape = z.looseObject({ lastUpdated: z.iso.datetime({ offset: true }).optional() })

/** What came of reading a resource. */
export type ReadOutcome<T> =
  { readonly kind: 'read'; readonly value: T } | { readonly kind: 'unreadable'; readonly problem: string }

/** `where: what` for each fault of a resource. */
export function unreadable(error: z.ZodError): { readonly kind: 'unreadable'; readonly problem: string } {
  const problem = error.issues
    .map(({ path, message }) => `${path.map(String).join('.')}: ${message}`)
    .join('; ')
  return { kind: 'unreadable', problem }
}

/** The identifier behind `Location/…`, if it is one of ours. */
export function idIn(reference: string | undefined, type: string): string | null {
  const id = reference?.split(`${type}/`)[1]
  return z.uuid().safeParse(id).data ?? null
}
