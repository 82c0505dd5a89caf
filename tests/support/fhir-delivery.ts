import { z } from 'zod'
import type { ApiReply } from './api-client.ts'
import type { RunningService } from './running-service.ts'
import { faultsOf } from './fhir-validity.ts'

/** Resources on their way in, as another register sends them. */

export const CIVIL = 'urn:example:civil-register'
export const NATIONAL = 'urn:example:national-register'

export interface ResourceJson {
  readonly resourceType: string
  readonly [element: string]: unknown
}

export interface PatientWish {
  readonly number: string
  readonly name?: string
  readonly birthDate?: string
  readonly gender?: string
  readonly village?: string
  readonly more?: object
}

/** A child with a number of the civil register. */
export function aPatient(wish: PatientWish): ResourceJson {
  const {
    number,
    name = `Child ${number}`,
    birthDate = '2026-01-20',
    gender = 'female',
    village = 'Mbari',
  } = wish
  return {
    resourceType: 'Patient',
    identifier: [{ system: CIVIL, value: number }],
    name: [{ text: name }],
    gender,
    birthDate,
    address: [{ city: village }],
    ...wish.more,
  }
}

export interface DoseWish {
  /** Number of the child. */
  readonly child: string
  /** Number of the dose. */
  readonly number?: string
  readonly cvx?: string
  readonly on?: string
  readonly status?: string
  readonly statedAt?: string
  readonly more?: object
}

/** A dose with a number of the national register, of a child with a number of the civil one. */
export function anImmunization(wish: DoseWish): ResourceJson {
  const { child, number, cvx = '198', on = '2026-03-03', status = 'completed', statedAt } = wish
  return {
    resourceType: 'Immunization',
    ...(statedAt === undefined ? {} : { meta: { lastUpdated: statedAt } }),
    ...(number === undefined ? {} : { identifier: [{ system: NATIONAL, value: number }] }),
    status,
    vaccineCode: { coding: [{ system: 'http://hl7.org/fhir/sid/cvx', code: cvx }] },
    patient: { identifier: { system: CIVIL, value: child } },
    occurrenceDateTime: on,
    ...wish.more,
  }
}

/** A Bundle that creates these. */
export function aBundle(resources: readonly ResourceJson[], type = 'transaction') {
  return {
    resourceType: 'Bundle',
    type,
    entry: resources.map((resource) => ({
      resource,
      request: { method: 'POST', url: resource.resourceType },
    })),
  }
}

const entry = z.object({
  response: z.object({
    status: z.string(),
    location: z.string().optional(),
    outcome: z
      .object({
        issue: z.array(
          z.object({
            severity: z.string(),
            diagnostics: z.string(),
            details: z.object({ coding: z.array(z.object({ code: z.string() })) }),
          }),
        ),
      })
      .optional(),
  }),
})

export interface EntryAnswer {
  readonly status: string
  readonly location: string | undefined
  /** The code of what is worth knowing of it. */
  readonly code: string | undefined
}

/** What each entry of a Bundle was answered; anything but an answer is a fault of the test. */
export function entriesOf(reply: ApiReply): EntryAnswer[] {
  expect(reply.status).toBe(200)
  const { entry: entries } = z.object({ entry: z.array(entry).default([]) }).parse(reply.body)
  return entries.map(({ response }) => ({
    status: response.status.slice(0, 3),
    location: response.location,
    code: response.outcome?.issue[0]?.details.coding[0]?.code,
  }))
}

/** Sends resources, each of them valid, and gives what each was answered. */
export async function send(
  { call }: Pick<RunningService, 'call'>,
  token: string,
  resources: readonly ResourceJson[],
  type = 'transaction',
): Promise<EntryAnswer[]> {
  for (const resource of resources) expect(faultsOf(resource)).toEqual([])
  return entriesOf(await call('POST', '/fhir/R4', { token, body: aBundle(resources, type) }))
}
