import { z } from 'zod'

/** A Bundle that wants something written. */

/** More in one transaction would hold up others; what is larger comes in several. */
const MOST_ENTRIES = 200

const resource = z.looseObject({ resourceType: z.string(), id: z.string().optional() })

export const bundleShape = z
  .looseObject({
    resourceType: z.literal('Bundle'),
    type: z.enum(['transaction', 'batch']).describe('transaction: all or nothing; batch: each for itself.'),
    entry: z
      .array(
        z.looseObject({
          fullUrl: z.string().optional(),
          resource: resource.optional(),
          request: z.looseObject({ method: z.string(), url: z.string(), ifNoneExist: z.string().optional() }),
        }),
      )
      .max(MOST_ENTRIES, `send at most ${MOST_ENTRIES} entries at once`),
  })
  .meta({ id: 'FhirBundle', description: 'A Bundle of HL7 FHIR R4 with Patients and Immunizations.' })

export type BundleEntry = z.output<typeof bundleShape>['entry'][number]

/** Under which names the other entries of a Bundle may refer to this one. */
export function namesOf({ fullUrl, resource: named }: BundleEntry): readonly string[] {
  const id = named?.id
  return [fullUrl, id === undefined ? undefined : `${named?.resourceType ?? ''}/${id}`].filter(
    (name) => name !== undefined,
  )
}

/** `issuer` and `number` of `Patient?identifier=issuer|number`, where a reference or condition is written so. */
export function numberIn(query: string): { readonly issuer: string; readonly number: string } | undefined {
  const value = new URLSearchParams(query.split('?').at(-1)).get('identifier')
  const [issuer = '', ...rest] = value?.split('|') ?? []
  const number = rest.join('|')
  return issuer === '' || number === '' ? undefined : { issuer, number }
}
