import { z } from 'zod'
import { mustParseDay } from '../days/day.ts'
import { readLength } from './length.ts'

/**
 * The shape of a schedule file (docs/schedule-format.md). Everything a rule needs is stated in the file;
 * the cross-checks that a shape cannot state are in contradictions.ts.
 */

const sentence = z.string().trim().min(1)
const vaccineCode = z.string().regex(/^[A-Z][A-Z0-9]*$/, 'use capital letters and digits, like BOPV')
const seriesId = z.string().regex(/^[A-Z][A-Z0-9]*$/, 'use capital letters and digits, like OPV')
const flag = z.string().regex(/^[a-z][a-z-]*$/, 'use small letters and hyphens, like preterm')
const count = z.int().min(1)
const day = z.iso.date().transform((text) => mustParseDay(text))

const length = z.string().transform((text, context) => {
  const read = readLength(text)
  if (read === undefined) {
    context.addIssue({ code: 'custom', message: 'write a length like "6 weeks" or "8 months 1 day"' })
    return z.NEVER
  }
  return read
})

/** What a wait is counted from. */
export type Since =
  | { readonly kind: 'birth' }
  | { readonly kind: 'previous' }
  | { readonly kind: 'own'; readonly dose: number }
  | { readonly kind: 'series'; readonly series: string; readonly dose: number }

/** `birth`, `previous`, `dose 1` (of the same series) or `IPV 2` (of another series). */
const since = z.string().transform((text, context): Since => {
  if (text === 'birth' || text === 'previous') return { kind: text }
  const [, name, number] = /^(dose|[A-Z][A-Z0-9]*) ([1-9]\d*)$/.exec(text) ?? []
  if (name === undefined) {
    context.addIssue({
      code: 'custom',
      message: 'say "birth", "previous", "dose 1" or another series like "IPV 2"',
    })
    return z.NEVER
  }
  const dose = Number(number)
  return name === 'dose' ? { kind: 'own', dose } : { kind: 'series', series: name, dose }
})

const interval = z.strictObject({
  since,
  minimum: length,
  /** Asked for after this long, though `minimum` would be accepted. */
  usual: length.optional(),
  /** `false`: the grace does not shorten this interval. */
  grace: z.boolean().default(true),
  /** The interval holds only where both doses are of these vaccines. */
  bothIn: z.array(vaccineCode).min(1).optional(),
})

/** One length alone counts from the previous dose. */
const after = z
  .union([z.string().transform((minimum) => [{ since: 'previous', minimum }]), z.array(z.unknown())])
  .pipe(z.array(interval))

const overdue = z.union([
  length.transform((age) => ({ kind: 'age' as const, length: age })),
  z.strictObject({ sinceDue: length }).transform((rule) => ({ kind: 'due' as const, length: rule.sinceDue })),
  z
    .strictObject({ sincePrevious: length })
    .transform((rule) => ({ kind: 'previous' as const, length: rule.sincePrevious })),
])

const doseRule = z.strictObject({
  /** Youngest valid age; absent = from birth. */
  earliest: length.optional(),
  /** Age at which the dose is asked for; absent = `earliest`. */
  due: length.optional(),
  overdue: overdue.nullable().optional(),
  /** The dose may be given only before this age. */
  before: length.optional(),
  after: after.optional(),
  /** The vaccine to ask for; absent = the first of the series. */
  give: vaccineCode.optional(),
})

/** What is known of the child at birth or entered by a clinician. A fact that is not known is not met. */
const facts = {
  sex: z.enum(['female', 'male']).optional(),
  birthWeightBelow: z.int().optional(),
  birthWeightFrom: z.int().optional(),
  flag: flag.optional(),
}

const condition = z.strictObject({
  ...facts,
  /** The number of the counted dose that `from`, `before` and `gap` speak of. */
  dose: count.optional(),
  from: length.optional(),
  before: length.optional(),
  /** Time since the counted dose before it, without grace. */
  gap: length.optional(),
  /** Every counted dose is of these vaccines, and there is one. */
  products: z.array(vaccineCode).min(1).optional(),
})

const conditions = z.union([condition.transform((one) => [one]), z.array(condition).min(1)])

const variant = z.strictObject({
  when: conditions,
  total: count.optional(),
  /** By dose number; each key replaces that of the plain rule. */
  doses: z.record(z.string().regex(/^[1-9]\d*$/), doseRule).default({}),
})

const outside = z.strictObject({
  ...facts,
  from: length.optional(),
  before: length.optional(),
  vaccines: z.array(vaccineCode).min(1).optional(),
  /** Said when such a dose is explained: "birth dose". */
  why: sentence,
})

const series = z.strictObject({
  id: seriesId,
  name: sentence,
  /** Every vaccine whose doses count here; the first is asked for. */
  vaccines: z.array(vaccineCode).min(1),
  onlyFor: z.strictObject(facts).optional(),
  /** Doses that are given but stand outside the numbering. */
  outside: z.array(outside).default([]),
  doses: z.array(doseRule).min(1),
  /** The first whose conditions hold replaces parts of `doses`. */
  variants: z.array(variant).default([]),
  /** A longer gap starts the series again; absent = never (the rule for routine vaccines). */
  restartAfter: length.optional(),
})

const vaccine = z.strictObject({
  code: vaccineCode,
  name: sentence,
  kind: z.enum(['live', 'inactivated', 'supplement']),
  route: z.enum(['oral', 'intradermal', 'subcutaneous', 'intramuscular']),
  site: sentence.optional(),
  amount: sentence.optional(),
  /** WHO Anatomical Therapeutic Chemical code. */
  atc: z.string().optional(),
  /** What people write for it, in any language, where the keyword books do not know it. */
  words: z.array(sentence).default([]),
  /** No longer given; doses on record still count. */
  retired: z.boolean().default(false),
})

const adoption = z.union([
  z.literal('everyone').transform(() => ({ kind: 'everyone' as const })),
  z.strictObject({ bornFrom: day }).transform((rule) => ({ kind: 'born-from' as const, day: rule.bornFrom })),
  z
    .strictObject({ without: z.string().regex(/^[A-Z][A-Z0-9]* [1-9]\d*$/, 'name a dose like "MR 1"') })
    .transform((rule) => {
      const [id = '', dose] = rule.without.split(' ')
      return { kind: 'without' as const, series: id, dose: Number(dose) }
    }),
])

const source = z.strictObject({
  title: sentence,
  issuer: sentence,
  edition: sentence,
  note: sentence.optional(),
})

/** Shape of a schedule file; its output has lengths, days and shorthands read. */
export const scheduleFile = z.strictObject({
  id: z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'use small letters, digits and hyphens'),
  version: sentence,
  title: sentence,
  /** Printed wherever the schedule is shown. */
  notice: sentence,
  effectiveFrom: day,
  sources: z.array(source).min(1),
  /** Who switches to this version; children born later always do. */
  adoption: adoption.default({ kind: 'everyone' }),
  monthEnd: z.enum(['roll', 'clamp']).default('roll'),
  graceDays: z.int().min(0).default(0),
  /** From which dose a repeat is spaced: any dose given, also one that does not count, or counted doses only. */
  repeatFrom: z.enum(['any-dose', 'counted-dose']).default('any-dose'),
  /** `every-dose`: no given dose is rejected for its age or interval. */
  accepts: z.enum(['valid-doses', 'every-dose']).default('valid-doses'),
  /** Where a dose says nothing of its own; `null` = never overdue. */
  overdue: overdue.nullable().default(null),
  liveSpacing: z.strictObject({ minimum: length, exempt: z.array(vaccineCode).default([]) }).optional(),
  vaccines: z.array(vaccine).min(1),
  series: z.array(series).min(1),
  /** What another authority says of a dose: shown beside it. */
  remarks: z.array(z.strictObject({ dose: sentence, text: sentence, source: sentence })).default([]),
})

/** A schedule file that has been read. */
export type ScheduleFile = z.output<typeof scheduleFile>
/** One series of it. */
export type SeriesFile = ScheduleFile['series'][number]
/** The rule of one dose; what is left out has the default of docs/schedule-format.md. */
export type DoseRuleFile = SeriesFile['doses'][number]
/** One condition of a variant. */
export type ConditionFile = SeriesFile['variants'][number]['when'][number]
/** What must be known of the child. */
export type FactsFile = NonNullable<SeriesFile['onlyFor']>
/** Which doses stand outside the numbering. */
export type OutsideFile = SeriesFile['outside'][number]
/** Who switches to a version. */
export type Adoption = ScheduleFile['adoption']
/** From when a dose is late. */
export type OverdueRule = NonNullable<ScheduleFile['overdue']>
/** One wait since an earlier dose. */
export type IntervalFile = NonNullable<DoseRuleFile['after']>[number]
/** What is known of a vaccine. */
export type VaccineFile = ScheduleFile['vaccines'][number]
