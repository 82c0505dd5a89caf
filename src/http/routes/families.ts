import { z } from 'zod'
import {
  addAddress,
  addCaregiver,
  endAddress,
  endCaregiver,
  PHONE_KINDS,
  viewFamily,
} from '../../app/family.ts'
import type { Family } from '../../app/family.ts'
import { districtOfChild, viewChild } from '../../app/views.ts'
import { caregiver, lineOf } from '../caregiver-line.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'

const childId = z.object({ childId: id })
const ROLES = ['vaccinator', 'manager', 'officer', 'machine'] as const

const held = { since: z.iso.datetime(), until: z.iso.datetime().nullable().describe('Null: it still holds.') }

const familyShape = z
  .object({
    phones: z.array(
      z.object({
        id,
        number: z.string(),
        language: z.string(),
        relation: z.string().nullable(),
        phoneKind: z.enum(PHONE_KINDS).nullable().describe('Whose phone it is.'),
        ...held,
      }),
    ),
    addresses: z.array(z.object({ id, address: z.string(), ...held })),
  })
  .meta({ id: 'Family' })

const times = ({ since, until }: { readonly since: Date; readonly until: Date | null }) => ({
  since: since.toISOString(),
  until: until?.toISOString() ?? null,
})

function familyJson({ phones, addresses }: Family): z.input<typeof familyShape> {
  return {
    phones: phones.map(({ id: phoneId, number, language, relation, phoneKind, ...rest }) => {
      return { id: phoneId, number, language, relation, phoneKind, ...times(rest) }
    }),
    addresses: addresses.map(({ id: addressId, address, ...rest }) => ({
      id: addressId,
      address,
      ...times(rest),
    })),
  }
}

const view = route({
  method: 'get',
  path: '/v1/children/{childId}/family',
  tag: 'Children',
  summary: 'Who looks after a child, by which phones and where: now and before',
  roles: ROLES,
  params: childId,
  query: none,
  body: noBody,
  status: 200,
  answer: familyShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, params }) => familyJson(await viewFamily(db, params.childId)),
})

const addPhone = route({
  method: 'post',
  path: '/v1/children/{childId}/caregivers',
  tag: 'Children',
  summary: 'Add a caregiver’s phone beside those the family has; reminders go to each',
  roles: ROLES,
  params: childId,
  query: none,
  body: z.object({ caregiver }),
  status: 201,
  answer: familyShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) => {
    const { district } = await viewChild(db, params.childId)
    const line = lineOf(body.caregiver, district, deps.shelf)
    return familyJson(await addCaregiver(db, deps, { ...params, caregiver: line, by: principal.name }))
  },
})

const endPhone = route({
  method: 'post',
  path: '/v1/children/{childId}/caregivers/{caregiverId}/end',
  tag: 'Children',
  summary: 'Let a caregiver’s phone get nothing more about a child; it stays on record',
  roles: ROLES,
  params: childId.extend({ caregiverId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: familyShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params }) =>
    familyJson(await endCaregiver(db, deps, { ...params, by: principal.name })),
})

const addPlace = route({
  method: 'post',
  path: '/v1/children/{childId}/addresses',
  tag: 'Children',
  summary: 'Say where a family can be found, beside where else it can',
  roles: ROLES,
  params: childId,
  query: none,
  body: z.object({ address: z.string().trim().min(1).max(300) }),
  status: 201,
  answer: familyShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) =>
    familyJson(await addAddress(db, deps, { ...params, ...body, by: principal.name })),
})

const endPlace = route({
  method: 'post',
  path: '/v1/children/{childId}/addresses/{addressId}/end',
  tag: 'Children',
  summary: 'Say that a family is no longer found at an address; it stays on record',
  roles: ROLES,
  params: childId.extend({ addressId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: familyShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params }) =>
    familyJson(await endAddress(db, deps, { ...params, by: principal.name })),
})

export const FAMILY_ROUTES = [view, addPhone, endPhone, addPlace, endPlace]
