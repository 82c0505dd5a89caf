import { z } from 'zod'
import { checkCardNumber } from '../card-number.ts'
import { parseDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { Sex } from '../model.ts'
import { assumedBirth } from '../schedule/assumed-birth.ts'
import type { ChildNumber } from './patient-out.ts'
import {
  conceptShape,
  extensionShape,
  identifierShape,
  idIn,
  telecomShape,
  unreadable,
} from './read-parts.ts'
import type { ReadOutcome } from './read-parts.ts'
import { EXTENSION, SYSTEM } from './systems.ts'

/** What a Patient says of a child. */
export interface StatedChild {
  readonly cardNumber: string | null
  readonly numbers: readonly ChildNumber[]
  readonly name: string
  readonly sex: Sex | null
  readonly birthOn: Day
  readonly isBirthEstimated: boolean
  /** Our identifier of the village, where the sender knows it. */
  readonly villageId: string | null
  /** Names that may be the village's. */
  readonly placeNames: readonly string[]
  /** As written. */
  readonly phone: string | null
  readonly relation: string | null
  readonly language: string | null
  readonly isDead: boolean
  readonly diedOn: Day | null
}

const nameShape = z.looseObject({
  text: z.string().optional(),
  family: z.string().optional(),
  given: z.array(z.string()).default([]),
})

const patientShape = z.looseObject({
  resourceType: z.literal('Patient'),
  identifier: z.array(identifierShape).default([]),
  name: z.array(nameShape).default([]),
  gender: z.enum(['male', 'female', 'other', 'unknown']).optional(),
  birthDate: z
    .string()
    .regex(/^\d{4}(-\d\d(-\d\d)?)?$/, 'a child needs a birth date; the year or month will do'),
  _birthDate: z.looseObject({ extension: z.array(extensionShape).default([]) }).optional(),
  deceasedBoolean: z.boolean().optional(),
  deceasedDateTime: z.string().optional(),
  extension: z.array(extensionShape).default([]),
  address: z
    .array(
      z.looseObject({
        text: z.string().optional(),
        line: z.array(z.string()).default([]),
        city: z.string().optional(),
        district: z.string().optional(),
      }),
    )
    .default([]),
  telecom: z.array(telecomShape).default([]),
  contact: z
    .array(
      z.looseObject({
        relationship: z.array(conceptShape).default([]),
        telecom: z.array(telecomShape).default([]),
      }),
    )
    .default([]),
  communication: z
    .array(z.looseObject({ language: conceptShape, preferred: z.boolean().optional() }))
    .default([]),
})
type Patient = z.output<typeof patientShape>

/** Reads a Patient (R4). `today` bounds the birth of a child of whom only the year or month is known. */
export function readPatient(resource: unknown, today: Day): ReadOutcome<StatedChild> {
  const parsed = patientShape.safeParse(resource)
  if (!parsed.success) return unreadable(parsed.error)
  const patient = parsed.data
  const birthOn = parseDay(patient.birthDate) ?? assumedBirth(monthOf(patient.birthDate), today)
  if (birthOn === undefined) return { kind: 'unreadable', problem: 'birthDate: there is no such day' }
  const name = nameOf(patient)
  if (name === '')
    return { kind: 'unreadable', problem: 'name: a child needs a name, even if only a first one' }
  const card = cardOf(patient)
  if (card?.kind === 'not-card') return { kind: 'unreadable', problem: `identifier: ${card.why}` }
  return {
    kind: 'read',
    value: {
      cardNumber: card?.number ?? null,
      numbers: numbersOf(patient),
      name: name.slice(0, 120),
      sex: patient.gender === 'male' || patient.gender === 'female' ? patient.gender : null,
      birthOn,
      isBirthEstimated: parseDay(patient.birthDate) === undefined || isMarkedEstimated(patient),
      ...placeOf(patient),
      ...familyOf(patient),
      ...deathOf(patient),
    },
  }
}

/** `2026` is any day of that year, so its last month is reckoned with. */
const monthOf = (date: string): string => (date.length === 4 ? `${date}-12` : date)

function nameOf({ name: [first] }: Patient): string {
  return (first?.text ?? [...(first?.given ?? []), first?.family ?? ''].join(' ')).trim()
}

function cardOf({ identifier }: Patient) {
  const value = identifier.find(({ system }) => system === SYSTEM.card)?.value
  return value === undefined ? undefined : checkCardNumber(value)
}

function deathOf({ deceasedBoolean, deceasedDateTime }: Patient) {
  return {
    isDead: deceasedBoolean === true || deceasedDateTime !== undefined,
    diedOn: parseDay(deceasedDateTime?.slice(0, 10) ?? '') ?? null,
  }
}

function numbersOf({ identifier }: Patient): ChildNumber[] {
  return identifier.flatMap(({ system: issuer = '', value: number = '' }) =>
    issuer === '' || number === '' || issuer === SYSTEM.card ? [] : [{ issuer, number }],
  )
}

function isMarkedEstimated({ _birthDate }: Patient): boolean {
  return (
    _birthDate?.extension.some(({ url, valueBoolean }) => url === EXTENSION.isEstimated && valueBoolean) ??
    false
  )
}

function placeOf({ extension, address }: Patient) {
  const village = extension.find(({ url }) => url === EXTENSION.village)
  return {
    villageId: idIn(village?.valueReference?.reference, 'Location'),
    placeNames: address.flatMap(({ city, text, line, district }) =>
      [city, ...line, text, district].filter((name) => name !== undefined),
    ),
  }
}

type Telecom = z.output<typeof telecomShape>

const isPhone = ({ system, value }: Telecom): boolean =>
  (system === 'phone' || system === 'sms') && value !== undefined

/** The phone of a caregiver, or the one that stands with the child. */
function familyOf(patient: Patient) {
  const caregiver = patient.contact.find(({ telecom }) => telecom.some(isPhone))
  return {
    phone: (caregiver?.telecom ?? patient.telecom).find(isPhone)?.value ?? null,
    relation: relationIn(caregiver?.relationship[0]),
    language: languageOf(patient),
  }
}

function relationIn(concept: z.output<typeof conceptShape> | undefined): string | null {
  return (concept?.text ?? concept?.coding[0]?.display ?? null)?.slice(0, 40) ?? null
}

function languageOf({ communication: [first, ...others] }: Patient): string | null {
  const preferred = others.find(({ preferred: isPreferred }) => isPreferred === true)
  const spoken = first?.preferred === true ? first : (preferred ?? first)
  return spoken?.language.coding[0]?.code ?? null
}
