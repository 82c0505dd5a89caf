import { at, id, on } from './sample-values.ts'

/** Rows of what other systems tell. */
export const EXCHANGE_SAMPLES = {
  childNumber: { issuer: 'urn:example:civil-register', number: 'B-17', childId: id(7), since: at(0) },
  statedDose: {
    issuer: 'urn:example:national-register',
    number: 'D-1',
    districtId: id(1),
    childIssuer: 'urn:example:civil-register',
    childNumber: 'B-17',
    childId: id(7),
    vaccine: 'BCG',
    givenOn: on('2026-03-03'),
    code: [{ system: 'http://hl7.org/fhir/sid/cvx', code: '19' }],
    dayText: '2026-03-03',
    postId: id(2),
    delivery: 'campaign',
    ...{ isElsewhere: true, isWithdrawn: true },
    ...{ statedAt: at(6), receivedAt: at(7), receivedBy: 'a national register', problem: 'child-closed' },
  },
}
