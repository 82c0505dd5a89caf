import type { z } from 'zod'

/** Data that was read from outside, proven or with every problem said. */
export type Checked<T> =
  | { readonly kind: 'valid'; readonly value: T }
  /** One line each: where, and what is wrong there. */
  | { readonly kind: 'invalid'; readonly problems: readonly string[] }

/** Proves data by a schema; nothing is thrown. */
export function checkData<T>(schema: z.ZodType<T>, data: unknown): Checked<T> {
  const result = schema.safeParse(data)
  if (result.success) return { kind: 'valid', value: result.data }
  return {
    kind: 'invalid',
    problems: result.error.issues.map(({ path, message }) => `${path.join('.') || '(root)'}: ${message}`),
  }
}

/** The value of data that ships with the service; a problem in it is a bug and throws. */
export function mustBeValid<T>(checked: Checked<T>): T {
  if (checked.kind === 'invalid') throw new Error(`bad data file: ${checked.problems.join('; ')}`)
  return checked.value
}
