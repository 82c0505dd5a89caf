import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'
import { completedMonths, mustParseDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'

/** When a programme reminds, whom, and at what hours: data, one file a policy in src/data/policies. */

/** `08:30` as minutes since 00:00; `24:00` is the end of the day. */
const clockTime = z
  .string()
  .regex(/^(([01]\d|2[0-3]):[0-5]\d|24:00)$/, 'Write a time as HH:MM.')
  .transform((text) => Number(text.slice(0, 2)) * 60 + Number(text.slice(3)))

const openHours = z
  .strictObject({ from: clockTime, until: clockTime })
  .refine(({ from, until }) => from < until, 'The hours must end after they begin.')
  .nullable()

/** A reminder's day, counted from the visit, and when it stops being of use. */
const step = (earliestDays: number, latestDays: number) =>
  z
    .strictObject({
      days: z.int().min(earliestDays).max(latestDays),
      usefulUntil: z.strictObject({ days: z.int().min(-30).max(120), at: clockTime }),
    })
    .refine(({ days, usefulUntil }) => usefulUntil.days >= days, 'It must be of use on its own day.')

const reminders = z.strictObject({
  ahead: step(-30, -1).optional(),
  eve: step(-30, -1).optional(),
  'missed-1': step(1, 60).optional(),
  'missed-2': step(1, 60).optional(),
  /** Counted from the day of the doses. */
  aftercare: step(0, 3).optional(),
})

/** All that is given must hold; an empty audience is everyone. */
const audience = z.strictObject({
  schedules: z.array(z.string()).optional(),
  villages: z.array(z.string()).optional(),
  /** At least one of these is to be given at the visit. */
  vaccines: z.array(z.string()).optional(),
  /** Completed months on the day of the visit: `from` is in, `below` is out. */
  ageMonths: z.strictObject({ from: z.int().min(0), below: z.int().min(1) }).optional(),
})

const policySchema = z.strictObject({
  source: z.string().min(1),
  /** How far ahead visits are booked. */
  horizonDays: z.int().min(28).max(3660),
  /** When texts may leave, in the district's time; a day with `null` has no hours. */
  hours: z
    .strictObject({
      monday: openHours,
      tuesday: openHours,
      wednesday: openHours,
      thursday: openHours,
      friday: openHours,
      saturday: openHours,
      sunday: openHours,
    })
    .refine((hours) => Object.values(hours).some((open) => open !== null), 'One weekday needs hours.'),
  /** Days without sessions and without texts. */
  holidays: z.array(z.iso.date().transform(mustParseDay)),
  /**
   * Recall texts sent since the last visit: `defaulterAfter` make a defaulter, after `atMost` nothing more is sent.
   * Whoever was missed for `officerAfterDays` without a word from anyone comes before the officer.
   */
  tries: z
    .strictObject({
      defaulterAfter: z.int().min(1),
      atMost: z.int().min(1),
      officerAfterDays: z.int().min(1).max(365),
    })
    .refine(
      (tries) => tries.defaulterAfter <= tries.atMost,
      'Texts must not stop before the child is a defaulter.',
    ),
  /** The first rule whose audience fits a child decides; where none fits, nothing is sent. */
  rules: z.array(z.strictObject({ audience, reminders })).min(1),
})

export type ReminderPolicy = z.infer<typeof policySchema>
export type Reminders = z.infer<typeof reminders>
export type ReminderKind = keyof Reminders
export type ReminderStep = NonNullable<Reminders[ReminderKind]>

/** Reads a policy file. */
export function parseReminderPolicy(data: unknown): Checked<ReminderPolicy> {
  return checkData(policySchema, data)
}

/** What decides which rule holds for a visit. */
export interface ReminderSubject {
  readonly scheduleCode: string
  readonly village: string
  readonly birthOn: Day
  readonly visitOn: Day
  readonly vaccines: readonly string[]
}

/** The reminders a policy foresees for a visit; none where no rule fits. */
export function remindersFor(policy: ReminderPolicy, subject: ReminderSubject): Reminders {
  return policy.rules.find((rule) => fits(rule.audience, subject))?.reminders ?? {}
}

function fits(wanted: z.infer<typeof audience>, subject: ReminderSubject): boolean {
  const { schedules, villages, vaccines, ageMonths } = wanted
  const age = completedMonths(subject.birthOn, subject.visitOn)
  return (
    (schedules?.includes(subject.scheduleCode) ?? true) &&
    (villages?.includes(subject.village) ?? true) &&
    (vaccines?.some((vaccine) => subject.vaccines.includes(vaccine)) ?? true) &&
    (ageMonths === undefined || (age >= ageMonths.from && age < ageMonths.below))
  )
}

/** True once this many recall texts since the last visit make a child a defaulter. */
export function isDefaulter(policy: ReminderPolicy, triesMade: number): boolean {
  return triesMade >= policy.tries.defaulterAfter
}
