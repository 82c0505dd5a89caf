import { z } from 'zod'
import { mustParseDay } from '../core/days/day.ts'
import { isTimeZone } from '../core/days/zoned-time.ts'
import { PIN_ACTS } from '../core/pins/pin-rules.ts'
import type { StatedTarget } from '../store/coverage.ts'

const day = z.iso.date().transform(mustParseDay)
const sessions = z.array(z.string()).default([])
const hours = z
  .string()
  .regex(/^\d\d:\d\d-\d\d:\d\d$/, 'Write hours as 09:00-13:00.')
  .nullable()
  .default(null)

/** Fits the column; no village is near it. */
export const population = z.int().min(0).max(1_000_000_000)

/** Counts the authority entered stand before what follows from the rates; source and year are shown beside the figures. */
const statedTarget = z.strictObject({
  liveBirths: z.number().min(0).nullable().default(null),
  survivingInfants: z.number().min(0).nullable().default(null),
  bySeries: z
    .record(z.string(), z.number().min(0))
    .default({})
    .describe('Yearly targets of series given to another group, such as { "HPV": 40 } for girls of an age.'),
  source: z.string().nullable().default(null),
  year: z.int().nullable().default(null),
}) satisfies z.ZodType<StatedTarget>
const NOTHING_STATED: StatedTarget = {
  liveBirths: null,
  survivingInfants: null,
  bySeries: {},
  source: null,
  year: null,
}

/** A district as a file: its posts, villages and people. Unknown keys are refused, since they are slips. */
export const districtFile = z.strictObject({
  district: z.strictObject({
    name: z.string().min(1),
    timeZone: z.string().refine(isTimeZone, 'Write an IANA time zone, such as Africa/Nairobi.'),
    region: z.string().regex(/^[A-Z]{2}$/, 'Write an ISO 3166 country code, such as KE.'),
    languages: z.array(z.string()).min(1).default(['en']),
    calendar: z.string().default('gregory'),
    isDayFirst: z.boolean().default(true),
    schedule: z.string(),
    bundlingDays: z.int().min(0).max(60).default(14),
    reminderPolicy: z.string().default('default'),
    childNaming: z.enum(['first-name', 'initials']).default('first-name'),
    isTraining: z
      .boolean()
      .default(false)
      .describe('True: people practise here, and nothing leaves to a phone. Never changed later.'),
    vialPolicy: z.string().default('who-2014'),
    products: z.array(z.string()).default([]).describe('Codes of src/data/products/products.json.'),
    pinActs: z
      .array(z.enum(PIN_ACTS))
      .default([])
      .describe('For which texts and screens a PIN is asked: acts, or a visit by what it found.'),
  }),
  posts: z.array(
    z.strictObject({
      name: z.string().min(1),
      sessions,
      hours,
      extraDays: z.array(day).default([]),
      exceptDays: z.array(day).default([]),
    }),
  ),
  villages: z.array(
    z.strictObject({
      name: z.string().min(1),
      post: z.string(),
      area: z.string().nullable().default(null).describe('The area it lies in, one of `areas`.'),
      population: population.nullable().default(null),
      birthsPer1000: z.number().min(0).max(1000).nullable().default(null),
      infantDeathsPer1000Births: z.number().min(0).max(1000).nullable().default(null),
      target: statedTarget.default(NOTHING_STATED),
      latitude: z.number().min(-90).max(90).nullable().default(null),
      longitude: z.number().min(-180).max(180).nullable().default(null),
      sessions: z.array(z.string()).nullable().default([]),
      hours,
      extraDays: z.array(day).default([]),
      exceptDays: z.array(day).default([]),
    }),
  ),
  areas: z
    .array(z.strictObject({ name: z.string().min(1), parent: z.string().nullable().default(null) }))
    .optional()
    .describe('Areas above villages, each with the one it is a part of. Left out: areas stay as they are.'),
  areasFrom: day
    .optional()
    .describe(
      'The day from which these areas hold; left out: today. The first ones hold for earlier days too.',
    ),
  people: z
    .array(
      z.strictObject({
        name: z.string().min(1),
        role: z.enum(['vaccinator', 'manager', 'officer', 'operator']),
        phone: z.string(),
        post: z.string().nullable().default(null),
        language: z.string().default('en'),
      }),
    )
    .optional()
    .describe('Left out: the people stay as they are. Given: whoever is not named works here no more.'),
})
export type DistrictFile = z.infer<typeof districtFile>
