import { z } from 'zod'

/** Any FHIR R4 resource; its own elements are FHIR's to describe. */
export const resourceShape = z
  .looseObject({ resourceType: z.string(), id: z.string().optional() })
  .meta({ id: 'FhirResource', description: 'A resource of HL7 FHIR R4 (4.0.1).' })
