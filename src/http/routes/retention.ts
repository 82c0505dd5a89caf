import { z } from 'zod'
import { setTerms, termsOf } from '../../app/privacy/retention-terms.ts'
import { districtTermsSchema } from '../../core/retention/terms.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'

const ofDistrict = z.object({ districtId: id })
const termsShape = districtTermsSchema.meta({
  id: 'RetentionTerms',
  description: 'Days until what is kept goes; null: it stays for ever. See docs/privacy.md.',
})

const read = route({
  method: 'get',
  path: '/v1/districts/{districtId}/retention',
  tag: 'Privacy',
  summary: 'For how long what is kept, in days',
  roles: ['manager', 'officer', 'operator'],
  params: ofDistrict,
  query: none,
  body: noBody,
  status: 200,
  answer: termsShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: ({ db, deps, params }) => termsOf(db, deps.shelf, params.districtId),
})

const set = route({
  method: 'put',
  path: '/v1/districts/{districtId}/retention',
  tag: 'Privacy',
  summary: 'Set for how long what is kept, as the law says; the next daily run follows it',
  roles: ['officer'],
  params: ofDistrict,
  query: none,
  body: termsShape,
  status: 200,
  answer: termsShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    await setTerms(db, deps, { ...params, terms: body, by: principal.name })
    return body
  },
})

export const RETENTION_ROUTES = [read, set]
