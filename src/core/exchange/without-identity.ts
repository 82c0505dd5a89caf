import { formatDay } from '../days/day.ts'
import type { ReactionToTell } from './adverse-event-out.ts'
import { adverseEventResource } from './adverse-event-out.ts'
import type { CodeMap } from './code-map.ts'
import { codingsOf } from './code-map.ts'
import type { DoseToTell } from './immunization-out.ts'
import type { ChildToTell } from './patient-out.ts'
import { reference, withoutEmpty } from './resource.ts'
import type { Resource } from './resource.ts'
import { EXTENSION } from './systems.ts'

/**
 * Single records that point at nobody (HL7 EHR-S FM POP.8, TI.1.8.1): no name, number, phone or exact day; other
 * identifiers for each export; and place, month of birth and sex only where enough children share all three.
 */

/** How many children share birth month and sex with a child, itself among them. */
export interface Alike {
  readonly inVillage: number
  readonly inDistrict: number
}

export interface Disguise {
  /** Fewer alike than this are not told apart. */
  readonly atLeast: number
  /** Another identifier for a record, the same for one record throughout an export. */
  readonly pseudonym: (id: string) => string
}

/** A child by month of birth, sex and village, or by year of birth alone where it would stand out. */
export function patientWithoutIdentity(child: ChildToTell, alike: Alike, disguise: Disguise): Resource {
  const day = formatDay(child.birthOn)
  const hidesInDistrict = alike.inDistrict >= disguise.atLeast
  const village = alike.inVillage >= disguise.atLeast ? reference('Location', child.villageId) : undefined
  return withoutEmpty({
    resourceType: 'Patient',
    id: disguise.pseudonym(child.id),
    extension: village === undefined ? [] : [{ url: EXTENSION.village, valueReference: village }],
    gender: hidesInDistrict ? (child.sex ?? 'unknown') : undefined,
    birthDate: hidesInDistrict ? monthOf(day) : day.slice(0, 4),
  })
}

export function immunizationWithoutIdentity(
  dose: DoseToTell,
  codes: CodeMap,
  { pseudonym }: Disguise,
): Resource {
  return withoutEmpty({
    resourceType: 'Immunization',
    id: pseudonym(dose.id),
    status: dose.voidReason === null ? 'completed' : 'entered-in-error',
    vaccineCode: { coding: codingsOf(codes, dose.vaccine) },
    patient: reference('Patient', pseudonym(dose.childId)),
    occurrenceDateTime: monthOf(formatDay(dose.givenOn)),
    primarySource: !dose.isElsewhere,
    protocolApplied: dose.counts.map(({ series, dose: number }) => ({
      series,
      doseNumberPositiveInt: number,
    })),
  })
}

/** Signs and seriousness; the words of a report may name somebody. */
export function adverseEventWithoutIdentity(reaction: ReactionToTell, { pseudonym }: Disguise): Resource {
  const { event, seriousness } = adverseEventResource({ ...reaction, words: '' })
  const { coding } = event as { readonly coding?: unknown }
  return withoutEmpty({
    resourceType: 'AdverseEvent',
    id: pseudonym(reaction.id),
    actuality: 'actual',
    event: coding === undefined ? undefined : { coding },
    subject: reference('Patient', pseudonym(reaction.childId)),
    date: monthOf(formatDay(reaction.reactionOn)),
    seriousness,
  })
}

const monthOf = (day: string): string => day.slice(0, 'YYYY-MM'.length)
