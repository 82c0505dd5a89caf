import { faultsOf } from '../../support/fhir-validity.ts'

const patient = { resourceType: 'Patient', id: 'a', gender: 'female', birthDate: '2026-01-20' }

test('a valid resource has no fault', () => {
  expect(faultsOf(patient)).toEqual([])
})

test.each([
  ['an element that R4 does not have', { ...patient, shoeSize: 3 }],
  ['a code that is not in a required value set', { ...patient, gender: 'girl' }],
  ['a date that is none', { ...patient, birthDate: '20.1.2026' }],
  [
    'a dose without its patient',
    {
      resourceType: 'Immunization',
      status: 'completed',
      vaccineCode: { text: 'BCG' },
      occurrenceDateTime: '2026-01-20',
    },
  ],
  ['a resource nobody knows', { resourceType: 'Vaccinee' }],
])('%s is a fault', (_what, resource) => {
  expect(faultsOf(resource)).not.toEqual([])
})
