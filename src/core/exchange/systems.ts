/** Names of the systems that codes and numbers are from, as FHIR writes them. */
export const SYSTEM = {
  /** What stands on the child's card. */
  card: 'urn:duebell:card-number',
  /** Vaccines as the schedules here call them. */
  vaccine: 'urn:duebell:vaccine',
  /** Numbers of a national list of facilities. */
  facility: 'urn:duebell:national-facility',
  forecastStatus: 'urn:duebell:forecast-status',
  problem: 'urn:duebell:problem',
  /** Signs of a reaction that a lay person can see. */
  sign: 'urn:duebell:sign',
  cvx: 'http://hl7.org/fhir/sid/cvx',
  atc: 'http://www.whocc.no/atc',
  loinc: 'http://loinc.org',
  language: 'urn:ietf:bcp:47',
  placeType: 'http://terminology.hl7.org/CodeSystem/location-physical-type',
  recommendation: 'http://terminology.hl7.org/CodeSystem/immunization-recommendation-status',
  seriousness: 'http://terminology.hl7.org/CodeSystem/adverse-event-seriousness',
  outcome: 'http://terminology.hl7.org/CodeSystem/adverse-event-outcome',
  origin: 'http://terminology.hl7.org/CodeSystem/immunization-origin',
} as const

/** What FHIR has no element for. */
export const EXTENSION = {
  /** A reference to the Location where a child lives. */
  village: 'urn:duebell:village',
  /** True where only the month of birth is known, or less. */
  isEstimated: 'urn:duebell:is-estimated',
  /** `campaign` for a dose of a mass campaign, which is extra to the schedule. */
  delivery: 'urn:duebell:delivery',
} as const
