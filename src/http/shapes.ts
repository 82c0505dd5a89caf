import { formatMinute, minuteOf } from '../core/days/clock-time.ts'
import { z } from 'zod'
import type { VialNow } from '../app/vials/vial-shelf.ts'
import type { DoseSource } from '../app/vials/view-vial.ts'
import type { ChildView } from '../app/views.ts'
import { formatDay, mustParseDay } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import { CHILD_STATUSES } from '../core/model.ts'
import type { Appointment, Dose, PlannedDose } from '../core/model.ts'
import { unitsLeft } from '../core/vials/open-vial.ts'

/** The JSON of the API: days as `YYYY-MM-DD`, instants as ISO 8601 in UTC, names as in the glossary. */

/** A day that comes in. */
export const dayIn = z.iso.date().transform(mustParseDay)
/** A time of a day that comes in, as minutes after midnight. */
export const timeIn = z
  .string()
  .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Write a time as 07:30.')
  .transform(minuteOf)
/** A day that goes out. */
export const dayOut = z.iso.date()
/** A time of day that goes out. */
export const timeOut = z.string().describe('HH:MM')

export const id = z.uuid()
export const none = z.object({})
export const noBody = z.unknown()

export const page = {
  after: id.optional().describe('The last id of the page before.'),
  limit: z
    .string()
    .regex(/^\d{1,3}$/)
    .transform(Number)
    .pipe(z.int().min(1).max(200))
    .default(50),
}

export const plannedDoseShape = z
  .object({ series: z.string(), dose: z.int(), vaccine: z.string() })
  .meta({ id: 'PlannedDose' })

export const appointmentShape = z
  .object({
    id,
    sessionOn: dayOut,
    villageId: id,
    doses: z.array(plannedDoseShape),
    status: z.enum(['planned', 'kept', 'missed', 'replaced', 'cancelled']),
    reason: z.string().nullable(),
    schedule: z.string(),
  })
  .meta({ id: 'Appointment' })

export function appointmentJson(appointment: Appointment): z.input<typeof appointmentShape> {
  const { id: appointmentId, sessionOn, villageId, doses, status, reason, scheduleCode } = appointment
  return {
    id: appointmentId,
    sessionOn: formatDay(sessionOn),
    villageId,
    doses: doses.map(plannedDoseJson),
    status,
    reason,
    schedule: scheduleCode,
  }
}

function plannedDoseJson({ series, dose, vaccine }: PlannedDose): z.input<typeof plannedDoseShape> {
  return { series, dose, vaccine }
}

const place = z.object({ id, name: z.string() })

export const childShape = z
  .object({
    id,
    cardNumber: z.string(),
    name: z.string(),
    sex: z.enum(['female', 'male']).nullable(),
    birthDate: dayOut,
    isBirthEstimated: z.boolean(),
    birthWeightGrams: z.int().nullable(),
    birthTime: z.string().nullable().describe('HH:MM on the clock of the district.'),
    status: z.enum(CHILD_STATUSES),
    statusOn: dayOut.nullable(),
    statusReason: z.string().nullable(),
    enrolledOn: dayOut,
    enrolledVia: z.string().describe('How the record came; `import` from a register taken over.'),
    mergedInto: id.nullable().describe('The record that stands for this one.'),
    birthOrder: z.int().nullable().describe('Of children of one birth.'),
    isSharingBarred: z.boolean().describe('The family does not want other systems told of it.'),
    district: place,
    village: place,
    phones: z.array(
      z.object({ number: z.string(), language: z.string(), consent: z.string(), isStopped: z.boolean() }),
    ),
    numbers: z
      .array(z.object({ issuer: z.string(), number: z.string() }))
      .describe('Numbers that others than this register gave the child.'),
    appointment: appointmentShape.nullable(),
  })
  .meta({ id: 'Child' })

export function childJson(
  view: Omit<ChildView, 'lines'> & { readonly lines: ChildView['lines'] },
): z.input<typeof childShape> {
  const { child, district, village, lines, numbers, appointment } = view
  return {
    id: child.id,
    cardNumber: child.cardNumber,
    name: child.name,
    sex: child.sex,
    birthDate: formatDay(child.birthOn),
    isBirthEstimated: child.isBirthEstimated,
    birthWeightGrams: child.birthWeightGrams,
    birthTime: child.birthMinute === null ? null : formatMinute(child.birthMinute),
    status: child.status,
    statusOn: dayOrNull(child.statusOn),
    statusReason: child.statusReason,
    enrolledOn: formatDay(child.enrolledOn),
    enrolledVia: child.enrolledVia,
    mergedInto: child.mergedInto,
    birthOrder: child.birthOrder,
    isSharingBarred: child.isSharingBarred,
    district: { id: district.id, name: district.name },
    village: { id: village.id, name: village.name },
    phones: lines.map(({ number, language, consent, stoppedAt }) => ({
      number,
      language,
      consent,
      isStopped: stoppedAt !== null,
    })),
    numbers: numbers.map(({ issuer, number }) => ({ issuer, number })),
    appointment: appointment === null ? null : appointmentJson(appointment),
  }
}

function dayOrNull(day: Day | null): string | null {
  return day === null ? null : formatDay(day)
}

const verdictShape = z.object({
  series: z.string(),
  dose: z.int().nullable(),
  valid: z.boolean(),
  reason: z.string().nullable(),
})

/** An opened vial with what is left in it. */
export const vialShape = z
  .object({
    id,
    number: z.int(),
    postId: id.nullable(),
    vaccine: z.string(),
    product: z.string(),
    lot: z.string(),
    maker: z.string().nullable(),
    barCode: z.string().nullable().describe('Kept free for the code on the vial; nothing fills it yet.'),
    expiryOn: dayOut,
    openedAt: z.iso.datetime(),
    discardBy: z.iso.datetime(),
    discardBecause: z.enum(['expiry', 'open-days', 'open-hours', 'session-end']),
    discardedAt: z.iso.datetime().nullable(),
    discardReason: z.string().nullable(),
    unitsHeld: z.int().describe('Counted in the smallest dose: 25 for five full doses of IPV.'),
    unitsDrawn: z.int(),
    unitsLeft: z.int(),
  })
  .meta({ id: 'Vial' })

export function vialJson({ vial, open }: VialNow): z.input<typeof vialShape> {
  const { id: vialId, number, postId, vaccine, product, lot, maker, expiryOn, discardBy } = vial
  return {
    id: vialId,
    number,
    postId,
    vaccine,
    product,
    lot,
    maker,
    barCode: null,
    expiryOn: formatDay(expiryOn),
    openedAt: vial.openedAt.toISOString(),
    discardBy: discardBy.at.toISOString(),
    discardBecause: discardBy.because,
    discardedAt: vial.discardedAt?.toISOString() ?? null,
    discardReason: vial.discardReason,
    unitsHeld: open.product.unitsPerVial,
    unitsDrawn: open.drawnUnits,
    unitsLeft: unitsLeft(open),
  }
}

const sourceShape = z.object({
  id,
  number: z.int(),
  lot: z.string(),
  maker: z.string().nullable(),
  expiryOn: dayOut,
  route: z.string().nullable(),
  site: z.string().nullable(),
})

function sourceJson({ vial, use }: DoseSource): z.input<typeof sourceShape> {
  const { id: vialId, number, lot, maker, expiryOn } = vial
  return {
    id: vialId,
    number,
    lot,
    maker,
    expiryOn: formatDay(expiryOn),
    route: use?.route ?? null,
    site: use?.site ?? null,
  }
}

export const doseShape = z
  .object({
    id,
    vaccine: z.string(),
    givenOn: dayOut,
    givenTime: timeOut.nullable().describe('The hour, where it was told, on the clock of the district.'),
    delivery: z.enum(['routine', 'campaign']),
    isElsewhere: z.boolean(),
    recordedBy: z.string(),
    recordedVia: z.string(),
    recordedAt: z.iso.datetime(),
    withdrawnAt: z.iso.datetime().nullable(),
    withdrawnBecause: z.string().nullable(),
    counts: z.array(verdictShape),
    vial: sourceShape
      .nullable()
      .describe('The opened vial it was drawn from; route and site by its presentation.'),
    vialFlags: z.array(z.string()).readonly().describe('Why a manager should look at the dose and its vial.'),
  })
  .meta({ id: 'Dose' })

export function doseJson(
  dose: Dose,
  counts: readonly z.input<typeof verdictShape>[],
  source: DoseSource | undefined,
): z.input<typeof doseShape> {
  return {
    id: dose.id,
    vaccine: dose.vaccine,
    givenOn: formatDay(dose.givenOn),
    givenTime: dose.givenMinute === null ? null : formatMinute(dose.givenMinute),
    delivery: dose.delivery,
    isElsewhere: dose.isElsewhere,
    recordedBy: dose.recordedBy,
    recordedVia: dose.recordedVia,
    recordedAt: dose.recordedAt.toISOString(),
    withdrawnAt: dose.voidedAt?.toISOString() ?? null,
    withdrawnBecause: dose.voidReason,
    counts: counts.map(({ series, dose: number, valid, reason }) => ({
      series,
      dose: number,
      valid,
      reason,
    })),
    vial: source === undefined ? null : sourceJson(source),
    vialFlags: dose.vialFlags,
  }
}

/** What each dose counts for and what is next (`duebell forecast` writes the same). */
export const forecastShape = z
  .object({
    childId: id,
    schedule: z.string(),
    version: z.string(),
    given: z
      .array(z.object({ vaccine: z.string(), date: dayOut, counts: z.array(verdictShape).readonly() }))
      .readonly(),
    next: z
      .array(
        z.object({
          series: z.string(),
          dose: z.int(),
          vaccine: z.string(),
          earliest: dayOut,
          due: dayOut,
          overdue: dayOut.nullable(),
          latest: dayOut.nullable(),
          status: z.enum(['not-yet', 'due', 'overdue', 'closed']),
        }),
      )
      .readonly(),
    complete: z.array(z.string()).readonly(),
    because: z
      .object({
        given: z.array(z.array(z.string()).readonly()).readonly(),
        next: z
          .array(
            z.object({
              earliest: z.string(),
              due: z.string(),
              overdue: z.string().nullable(),
              latest: z.string().nullable(),
            }),
          )
          .readonly(),
      })
      .describe('The rule and the arithmetic behind each verdict and date, one line each.'),
  })
  .meta({ id: 'Forecast' })
