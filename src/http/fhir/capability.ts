import type { Resource } from '../../core/exchange/resource.ts'

/** What FHIR can be asked of this service; a test holds it against the routes. */

const SINCE = { name: '_lastUpdated', type: 'date' }
const USUAL = [{ name: '_id', type: 'token' }, SINCE]

interface Ability {
  readonly type: string
  readonly interactions: readonly string[]
  readonly params: readonly { readonly name: string; readonly type: string }[]
  readonly operation?: { readonly name: string; readonly definition: string }
}

const READ = ['read', 'search-type']

export const ABILITIES: readonly Ability[] = [
  {
    type: 'Patient',
    interactions: READ,
    params: [
      ...USUAL,
      { name: 'identifier', type: 'token' },
      { name: 'birthdate', type: 'date' },
      { name: 'location', type: 'reference' },
    ],
    operation: {
      name: 'everything',
      definition: 'http://hl7.org/fhir/OperationDefinition/Patient-everything',
    },
  },
  {
    type: 'Immunization',
    interactions: READ,
    params: [
      ...USUAL,
      { name: 'identifier', type: 'token' },
      { name: 'patient', type: 'reference' },
      { name: 'date', type: 'date' },
      { name: 'vaccine-code', type: 'token' },
      { name: 'status', type: 'token' },
      { name: 'location', type: 'reference' },
    ],
  },
  {
    type: 'ImmunizationRecommendation',
    interactions: READ,
    params: [{ name: 'patient', type: 'reference' }],
  },
  {
    type: 'AdverseEvent',
    interactions: READ,
    params: [
      ...USUAL,
      { name: 'subject', type: 'reference' },
      { name: 'date', type: 'date' },
      { name: 'location', type: 'reference' },
    ],
  },
  {
    type: 'Location',
    interactions: READ,
    params: [
      { name: '_id', type: 'token' },
      { name: 'name', type: 'string' },
    ],
  },
]

/** The day on which this description last changed. */
const DATE = '2026-11-25'

/** The CapabilityStatement (R4). */
export function capabilityStatement(version: string): Resource {
  return {
    resourceType: 'CapabilityStatement',
    status: 'active',
    date: DATE,
    kind: 'instance',
    software: { name: 'Duebell', version },
    implementation: { description: 'A register of children and their vaccine doses.' },
    fhirVersion: '4.0.1',
    format: ['json'],
    rest: [
      {
        mode: 'server',
        security: { description: 'A bearer token for each caller, bound to a role and a district.' },
        resource: ABILITIES.map(({ type, interactions, params, operation }) => ({
          type,
          interaction: interactions.map((code) => ({ code })),
          versioning: 'no-version',
          searchParam: params,
          ...(operation === undefined ? {} : { operation: [operation] }),
        })),
        interaction: [{ code: 'transaction' }, { code: 'batch' }],
        operation: [
          {
            name: 'export',
            definition: 'http://hl7.org/fhir/uv/bulkdata/OperationDefinition/export',
          },
        ],
      },
    ],
  }
}
