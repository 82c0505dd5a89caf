import { formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { ChildStatus, Sex } from '../model.ts'
import { lastUpdated, reference, withoutEmpty } from './resource.ts'
import type { Resource } from './resource.ts'
import { EXTENSION, SYSTEM } from './systems.ts'

/** A number some authority gave to a child. */
export interface ChildNumber {
  /** A URI that names who gave it. */
  readonly issuer: string
  readonly number: string
}

/** All that a Patient resource tells of a child. */
export interface ChildToTell {
  readonly id: string
  readonly districtName: string
  readonly villageId: string
  readonly villageName: string
  readonly cardNumber: string
  readonly numbers: readonly ChildNumber[]
  readonly name: string
  readonly sex: Sex | null
  readonly birthOn: Day
  readonly isBirthEstimated: boolean
  /** Of children of one birth. */
  readonly birthOrder: number | null
  readonly status: ChildStatus
  readonly statusOn: Day | null
  readonly lines: readonly {
    readonly number: string
    readonly language: string
    readonly relation: string | null
  }[]
  readonly updatedAt: Date
}

/** A child as a Patient (R4). */
export function patientResource(child: ChildToTell): Resource {
  const village = reference('Location', child.villageId, child.villageName)
  return withoutEmpty({
    resourceType: 'Patient',
    id: child.id,
    meta: lastUpdated(child.updatedAt),
    extension: [{ url: EXTENSION.village, valueReference: village }],
    identifier: [
      { use: 'official', system: SYSTEM.card, value: child.cardNumber },
      ...child.numbers.map(({ issuer, number }) => ({ system: issuer, value: number })),
    ],
    active: child.status === 'active' || child.status === 'away',
    name: [{ text: child.name }],
    gender: child.sex ?? 'unknown',
    birthDate: formatDay(child.birthOn),
    _birthDate: child.isBirthEstimated
      ? { extension: [{ url: EXTENSION.isEstimated, valueBoolean: true }] }
      : undefined,
    multipleBirthInteger: child.birthOrder ?? undefined,
    ...deathOf(child),
    address: [{ use: 'home', city: child.villageName, district: child.districtName }],
    contact: child.lines.map(({ number, relation }) =>
      withoutEmpty({
        relationship: relation === null ? [] : [{ text: relation }],
        telecom: [{ system: 'phone', value: number, use: 'mobile' }],
      }),
    ),
    communication: child.lines.slice(0, 1).map(({ language }) => ({
      language: { coding: [{ system: SYSTEM.language, code: language }] },
      preferred: true,
    })),
  })
}

function deathOf({ status, statusOn }: ChildToTell): object {
  if (status !== 'died') return {}
  return statusOn === null ? { deceasedBoolean: true } : { deceasedDateTime: formatDay(statusOn) }
}
