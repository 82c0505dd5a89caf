import { z } from 'zod'
import { registerCsvText } from '../../app/export-register.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'

const asCsv = route({
  method: 'get',
  path: '/v1/districts/{districtId}/register.csv',
  tag: 'Children',
  summary: 'The register as the file that import-register takes (RFC 4180): followed children, routine doses',
  roles: ['manager', 'officer'],
  params: z.object({ districtId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: z.string(),
  contentType: 'text/csv',
  district: ({ params }) => params.districtId,
  handle: ({ db, deps, params }) => registerCsvText(db, deps, params.districtId),
})

export const REGISTER_ROUTES = [asCsv]
