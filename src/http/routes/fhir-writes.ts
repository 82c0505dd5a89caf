import { z } from 'zod'
import { takeBundle } from '../../app/exchange/take-bundle.ts'
import { bundleShape } from '../../core/exchange/bundle-in.ts'
import { Refusal } from '../../core/refusals.ts'
import { resourceShape } from '../fhir/shapes.ts'
import { route } from '../route.ts'
import { id, none } from '../shapes.ts'

const deliver = route({
  method: 'post',
  path: '/fhir/R4',
  tag: 'FHIR',
  summary: 'Take over children and doses from another register; the same Bundle again changes nothing',
  roles: ['vaccinator', 'manager', 'officer', 'machine'],
  params: none,
  query: z.strictObject({
    district: id.optional().describe('Needed by tokens of every district.'),
    village: id.optional().describe('Where children live whose address names no village.'),
  }),
  body: bundleShape,
  status: 200,
  answer: resourceShape,
  contentType: 'application/fhir+json',
  district: ({ principal, query }) => query.district ?? principal.districtId,
  handle: async ({ db, deps, principal, query, body }) => {
    const districtId = query.district ?? principal.districtId
    if (districtId === null) throw new Refusal('input-invalid', 'Name a district: ?district=…')
    return takeBundle(db, deps, {
      districtId,
      villageId: query.village ?? null,
      by: principal.name,
      bundle: body,
    })
  },
})

export const FHIR_WRITE_ROUTES = [deliver]
