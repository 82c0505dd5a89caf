import { z } from 'zod'
import type { ChildView } from '../app/views.ts'
import { formatDay, mustParseDay } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import type { Appointment, Dose, PlannedDose } from '../core/model.ts'

/** The JSON of the API: days as `YYYY-MM-DD`, instants as ISO 8601 in UTC, names as in the glossary. */

/** A day that comes in. */
export const dayIn = z.iso.date().transform(mustParseDay)
/** A day that goes out. */
export const dayOut = z.iso.date()

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
    status: z.enum(['active', 'moved', 'lost', 'refused', 'died', 'away', 'duplicate', 'entered-in-error']),
    statusOn: dayOut.nullable(),
    statusReason: z.string().nullable(),
    enrolledOn: dayOut,
    district: place,
    village: place,
    phones: z.array(
      z.object({ number: z.string(), language: z.string(), consent: z.string(), isStopped: z.boolean() }),
    ),
    appointment: appointmentShape.nullable(),
  })
  .meta({ id: 'Child' })

export function childJson(
  view: Omit<ChildView, 'lines'> & { readonly lines: ChildView['lines'] },
): z.input<typeof childShape> {
  const { child, district, village, lines, appointment } = view
  return {
    id: child.id,
    cardNumber: child.cardNumber,
    name: child.name,
    sex: child.sex,
    birthDate: formatDay(child.birthOn),
    isBirthEstimated: child.isBirthEstimated,
    birthWeightGrams: child.birthWeightGrams,
    status: child.status,
    statusOn: dayOrNull(child.statusOn),
    statusReason: child.statusReason,
    enrolledOn: formatDay(child.enrolledOn),
    district: { id: district.id, name: district.name },
    village: { id: village.id, name: village.name },
    phones: lines.map(({ number, language, consent, stoppedAt }) => ({
      number,
      language,
      consent,
      isStopped: stoppedAt !== null,
    })),
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

export const doseShape = z
  .object({
    id,
    vaccine: z.string(),
    givenOn: dayOut,
    delivery: z.enum(['routine', 'campaign']),
    isElsewhere: z.boolean(),
    recordedBy: z.string(),
    recordedVia: z.string(),
    recordedAt: z.iso.datetime(),
    withdrawnAt: z.iso.datetime().nullable(),
    withdrawnBecause: z.string().nullable(),
    counts: z.array(verdictShape),
  })
  .meta({ id: 'Dose' })

export function doseJson(
  dose: Dose,
  counts: readonly z.input<typeof verdictShape>[],
): z.input<typeof doseShape> {
  return {
    id: dose.id,
    vaccine: dose.vaccine,
    givenOn: formatDay(dose.givenOn),
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
