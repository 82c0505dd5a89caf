import { z } from 'zod'
import { setBirthGroup } from '../../app/set-birth-group.ts'
import { districtOfChild, viewChild } from '../../app/views.ts'
import { Refusal } from '../../core/refusals.ts'
import { route } from '../route.ts'
import { childJson, childShape, id, none } from '../shapes.ts'

const childId = z.object({ childId: id })
const WRITERS = ['vaccinator', 'manager', 'officer', 'machine'] as const

const birthGroup = route({
  method: 'put',
  path: '/v1/children/{childId}/birth-group',
  tag: 'Children',
  summary: 'Say which children are of one birth and in which order; they are never taken for doubles',
  roles: WRITERS,
  params: childId,
  query: none,
  body: z.object({
    childIds: z
      .array(id)
      .min(2)
      .max(9)
      .describe('The children of one birth, this one too, the first-born first.'),
  }),
  status: 200,
  answer: z.object({ children: z.array(childShape) }),
  contentType: 'application/json',
  district: async ({ db, params, body }) => {
    const districtId = await districtOfChild(db, params.childId)
    for (const each of body.childIds) {
      if ((await districtOfChild(db, each)) !== districtId)
        throw new Refusal(
          'children-of-two-districts',
          'Children of one birth are on one register; move one first.',
        )
    }
    return districtId
  },
  handle: async ({ db, deps, principal, params, body }) => {
    if (!body.childIds.includes(params.childId))
      throw new Refusal('input-invalid', 'The child of the address has to be among them.')
    const children = await setBirthGroup(db, deps, { ...body, by: principal.name })
    return {
      children: await Promise.all(children.map(async (child) => childJson(await viewChild(db, child.id)))),
    }
  },
})

export const BIRTH_GROUP_ROUTES = [birthGroup]
