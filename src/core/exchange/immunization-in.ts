import { z } from 'zod'
import { parseDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import { vaccineOf } from './code-map.ts'
import type { CodeMap } from './code-map.ts'
import {
  conceptShape,
  extensionShape,
  identifierShape,
  idIn,
  metaShape,
  referenceShape,
  unreadable,
} from './read-parts.ts'
import type { ReadOutcome, ResourceReference } from './read-parts.ts'
import { EXTENSION } from './systems.ts'

/** What an Immunization says of a dose. */
export interface StatedDose {
  /** How the other register calls the dose; `null` where it does not say. */
  readonly issuer: string | null
  readonly number: string | null
  /** The child, as it is referred to. */
  readonly child: ResourceReference
  /** Null where the codes mean none of our vaccines. */
  readonly vaccine: string | null
  /** The codes as they came, for a person to look at. */
  readonly code: z.output<typeof conceptShape>
  /** Null where no whole day is given. */
  readonly givenOn: Day | null
  readonly dayText: string
  /** Our identifier of the post. */
  readonly locationId: string | null
  readonly delivery: 'routine' | 'campaign'
  /** True where the sender was there when it was given. */
  readonly isFirstHand: boolean
  readonly isWithdrawn: boolean
  /** False: it says that a dose was not given. */
  readonly isDose: boolean
  readonly statedAt: Date | null
}

const immunizationShape = z.looseObject({
  resourceType: z.literal('Immunization'),
  meta: metaShape.optional(),
  identifier: z.array(identifierShape).default([]),
  status: z.enum(['completed', 'entered-in-error', 'not-done']),
  vaccineCode: conceptShape,
  patient: referenceShape,
  occurrenceDateTime: z.string().max(40).optional(),
  occurrenceString: z.string().max(200).optional(),
  primarySource: z.boolean().optional(),
  location: referenceShape.optional(),
  extension: z.array(extensionShape).default([]),
})

/** Reads an Immunization (R4). The day is the one that is written, whatever the time zone beside it. */
export function readImmunization(resource: unknown, codes: CodeMap): ReadOutcome<StatedDose> {
  const parsed = immunizationShape.safeParse(resource)
  if (!parsed.success) return unreadable(parsed.error)
  const said = parsed.data
  const dayText = said.occurrenceDateTime ?? said.occurrenceString
  if (dayText === undefined) return { kind: 'unreadable', problem: 'occurrence: say when the dose was given' }
  return {
    kind: 'read',
    value: {
      ...numberOf(said),
      child: said.patient,
      vaccine: vaccineOf(codes, said.vaccineCode.coding) ?? null,
      code: said.vaccineCode,
      givenOn: parseDay(dayText.slice(0, 10)) ?? null,
      dayText,
      locationId: idIn(said.location?.reference, 'Location'),
      delivery: isOfCampaign(said) ? 'campaign' : 'routine',
      isFirstHand: said.primarySource === true,
      isWithdrawn: said.status === 'entered-in-error',
      isDose: said.status !== 'not-done',
      statedAt: said.meta?.lastUpdated === undefined ? null : new Date(said.meta.lastUpdated),
    },
  }
}

type Immunization = z.output<typeof immunizationShape>

function numberOf({ identifier }: Immunization) {
  const whole = identifier.find(({ system, value }) => system !== undefined && value !== undefined)
  return { issuer: whole?.system ?? null, number: whole?.value ?? null }
}

function isOfCampaign({ extension }: Immunization): boolean {
  return extension.some(({ url, valueCode }) => url === EXTENSION.delivery && valueCode === 'campaign')
}
