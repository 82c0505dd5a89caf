import { z } from 'zod'
import { searchRulesOf, setSearchRules } from '../../app/matching-rules.ts'
import { searchChildren } from '../../app/search-children.ts'
import { searchRulesSchema } from '../../core/children/search-rules.ts'
import { formatDay } from '../../core/days/day.ts'
import { route } from '../route.ts'
import { dayOut, id, noBody, none } from '../shapes.ts'

const districtId = z.object({ districtId: id })
const fact = z.string().trim().min(1).max(120).optional()

const candidateShape = z
  .object({ id, cardNumber: z.string(), name: z.string(), birthDate: dayOut, villageId: id })
  .meta({ id: 'Candidate' })

const search = route({
  method: 'get',
  path: '/v1/districts/{districtId}/candidates',
  tag: 'Children',
  summary: 'Find a child by two facts or more, likeliest first, with just enough to choose by',
  roles: ['vaccinator', 'manager', 'officer', 'machine'],
  params: districtId,
  query: z.object({
    name: fact.describe('In any script and spelling; * for some letters, ? for one.'),
    birth: fact.describe('2026, 2026-03 or 2026-03-14.'),
    village: id.optional(),
    phone: fact.describe('Whole or its last digits.'),
    card: fact.describe('Digits in order; * and ? for those that cannot be read.'),
    sex: z.enum(['female', 'male']).optional(),
  }),
  body: noBody,
  status: 200,
  answer: z.object({
    children: z.array(candidateShape),
    more: z.int().describe('How many more fit; another fact shortens the list.'),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params, query }) => {
    const { village, ...facts } = query
    const { children, more } = await searchChildren(db, deps, params.districtId, {
      ...facts,
      villageId: village,
    })
    return {
      children: children.map(({ id: childId, cardNumber, name, birthOn, villageId }) => ({
        id: childId,
        cardNumber,
        name,
        birthDate: formatDay(birthOn),
        villageId,
      })),
      more,
    }
  },
})

const rulesShape = searchRulesSchema.meta({ id: 'SearchRules' })

const readRules = route({
  method: 'get',
  path: '/v1/districts/{districtId}/search-rules',
  tag: 'Children',
  summary: 'What a search must hold in this district',
  roles: ['manager', 'officer', 'operator'],
  params: districtId,
  query: none,
  body: noBody,
  status: 200,
  answer: rulesShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: ({ db, deps, params }) => searchRulesOf(db, deps.shelf, params.districtId),
})

const setRules = route({
  method: 'put',
  path: '/v1/districts/{districtId}/search-rules',
  tag: 'Children',
  summary: 'Set what a search must hold; the next search follows it',
  roles: ['manager', 'officer'],
  params: districtId,
  query: none,
  body: rulesShape,
  status: 200,
  answer: rulesShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    await setSearchRules(db, deps, { ...params, rules: body, by: principal.name })
    return body
  },
})

export const SEARCH_ROUTES = [search, readRules, setRules]
