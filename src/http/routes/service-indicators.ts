import { z } from 'zod'
import { openDistrict } from '../../app/pages/district-scope.ts'
import { serviceIndicators, serviceIndicatorsCsv } from '../../app/supplies/service-indicators.ts'
import type { ServiceIndicator } from '../../app/supplies/service-indicators.ts'
import type { Deps } from '../../app/deps.ts'
import { Refusal } from '../../core/refusals.ts'
import { route } from '../route.ts'
import { dayIn, id, noBody } from '../shapes.ts'

const MOST_DAYS = 366
const asked = {
  roles: ['manager', 'officer', 'machine'] as const,
  params: z.object({ districtId: id }),
  query: z.object({ from: dayIn, to: dayIn.describe('Itself included; at most a year.') }),
}

/** @throws {Refusal} input-invalid */
async function indicatorsOf(
  deps: Deps,
  { params, query: { from, to } }: Asked,
): Promise<readonly ServiceIndicator[]> {
  if (from > to || to - from >= MOST_DAYS)
    throw new Refusal('input-invalid', 'Name a period of at most a year by from and to, in this order.')
  return serviceIndicators(await openDistrict(deps, params.districtId), { fromOn: from, toOn: to })
}

interface Asked {
  readonly params: z.output<(typeof asked)['params']>
  readonly query: z.output<(typeof asked)['query']>
}

const asJson = route({
  method: 'get',
  path: '/v1/districts/{districtId}/service-indicators',
  tag: 'Supplies',
  summary:
    'Wastage, stock-outs, refrigerators, reactions and sessions of a period (WHO indicators I40 to I45)',
  ...asked,
  body: noBody,
  status: 200,
  answer: z.object({
    indicators: z
      .array(
        z.object({
          id: z.enum(['I40', 'I41', 'I42', 'I43', 'I44', 'I45']),
          part: z.string().describe('The vaccine, the presentation or the post; ALL: the district.'),
          numerator: z.int(),
          denominator: z.int().nullable().describe('Null: a count.'),
          percent: z.number().nullable(),
          note: z.string(),
        }),
      )
      .readonly(),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ deps, params, query }) => ({ indicators: await indicatorsOf(deps, { params, query }) }),
})

const asCsv = route({
  method: 'get',
  path: '/v1/districts/{districtId}/service-indicators.csv',
  tag: 'Supplies',
  summary: 'The same as a CSV file (RFC 4180)',
  ...asked,
  body: noBody,
  status: 200,
  answer: z.string(),
  contentType: 'text/csv',
  district: ({ params }) => params.districtId,
  handle: async ({ deps, params, query }) =>
    serviceIndicatorsCsv(await indicatorsOf(deps, { params, query })),
})

export const SERVICE_INDICATOR_ROUTES = [asJson, asCsv]
