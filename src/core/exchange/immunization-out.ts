import { formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { formatInstant, instantOf } from '../days/zoned-time.ts'
import { codingsOf } from './code-map.ts'
import type { CodeMap } from './code-map.ts'
import { lastUpdated, reference, withoutEmpty } from './resource.ts'
import type { Resource } from './resource.ts'
import { EXTENSION, SYSTEM } from './systems.ts'

/** All that an Immunization resource tells of a dose. */
export interface DoseToTell {
  readonly id: string
  readonly childId: string
  /** How other registers call the dose. */
  readonly numbers: readonly { readonly issuer: string; readonly number: string }[]
  readonly vaccine: string
  readonly givenOn: Day
  /** The hour, where it was told, on the clock of `timeZone`. */
  readonly givenMinute: number | null
  readonly timeZone: string
  readonly postId: string | null
  readonly postName: string | null
  readonly delivery: string
  readonly isElsewhere: boolean
  readonly recordedAt: Date
  readonly voidReason: string | null
  /** What the dose counts for by the schedule here. */
  readonly counts: readonly { readonly series: string; readonly dose: number }[]
  readonly updatedAt: Date
}

/** A dose as an Immunization (R4); a withdrawn one stays readable as entered in error. */
export function immunizationResource(dose: DoseToTell, codes: CodeMap): Resource {
  const { postId, postName, voidReason } = dose
  return withoutEmpty({
    resourceType: 'Immunization',
    id: dose.id,
    meta: lastUpdated(dose.updatedAt),
    extension: dose.delivery === 'campaign' ? [{ url: EXTENSION.delivery, valueCode: 'campaign' }] : [],
    identifier: dose.numbers.map(({ issuer, number }) => ({ system: issuer, value: number })),
    status: voidReason === null ? 'completed' : 'entered-in-error',
    vaccineCode: { coding: codingsOf(codes, dose.vaccine), text: dose.vaccine },
    patient: reference('Patient', dose.childId),
    occurrenceDateTime: occurrence(dose),
    recorded: dose.recordedAt.toISOString(),
    primarySource: !dose.isElsewhere,
    reportOrigin: dose.isElsewhere ? { coding: [{ system: SYSTEM.origin, code: 'record' }] } : undefined,
    location: postId === null ? undefined : reference('Location', postId, postName ?? undefined),
    note: voidReason === null ? [] : [{ text: `withdrawn: ${voidReason}` }],
    protocolApplied: dose.counts.map(({ series, dose: number }) => ({
      series,
      doseNumberPositiveInt: number,
    })),
  })
}

/** A day, and no more than a day where no hour was told. */
function occurrence({ givenOn: day, givenMinute: minute, timeZone }: DoseToTell): string {
  return minute === null ? formatDay(day) : formatInstant(instantOf({ day, minute }, timeZone), timeZone)
}
