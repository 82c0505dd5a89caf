import { z } from 'zod'
import { parseDay } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'

const MS_PER_DAY = 86_400_000

/** A day as Prisma wants it for a `date` column: midnight UTC. */
export function toDate(day: Day): Date {
  return new Date(day * MS_PER_DAY)
}

/** The day of a `date` column as Prisma hands it over. */
export function fromDate(date: Date): Day {
  // A Day is the count of days since 1970-01-01, which is what this division yields.
  return Math.floor(date.getTime() / MS_PER_DAY) as Day
}

/** A `date` column selected as text in a raw statement. */
export const dayColumn = z.string().transform((text, context) => {
  const day = parseDay(text)
  if (day !== undefined) return day
  context.addIssue({ code: 'custom', message: `not a day: ${text}` })
  return z.NEVER
})
