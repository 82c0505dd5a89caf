import { z } from 'zod'
import { decideOnDifference, takeFacilityList } from '../../app/posts/facility-list.ts'
import { postRecords } from '../../app/posts/post-records.ts'
import { addPost, setPost } from '../../app/posts/set-post.ts'
import { listPostDifferences } from '../../app/views.ts'
import { formatDay } from '../../core/days/day.ts'
import { POST_KINDS } from '../../core/model.ts'
import type { HealthPost } from '../../core/model.ts'
import { POST_GAPS } from '../../core/places/post-gaps.ts'
import { route } from '../route.ts'
import { dayIn, dayOut, id, noBody, none } from '../shapes.ts'

const inDistrict = z.object({ districtId: id })
const LEADERS = ['manager', 'officer'] as const

const setting = z.strictObject({
  name: z.string().trim().min(1).max(100),
  nationalId: z.string().trim().min(1).max(60).nullable().default(null),
  kind: z.enum(POST_KINDS).default('permanent'),
  untilOn: dayIn.nullable().default(null).describe('Last day of a post that is there for a time.'),
})

const change = z
  .strictObject({
    name: z.string().trim().min(1).max(100),
    nationalId: z.string().trim().min(1).max(60).nullable(),
    kind: z.enum(POST_KINDS),
    untilOn: dayIn.nullable(),
  })
  .partial()

const settingShape = z.object({
  id,
  name: z.string(),
  nationalId: z.string().nullable(),
  kind: z.enum(POST_KINDS),
  untilOn: dayOut.nullable(),
})

function settingJson({
  id: postId,
  name,
  nationalId,
  kind,
  untilOn,
}: HealthPost): z.input<typeof settingShape> {
  return { id: postId, name, nationalId, kind, untilOn: untilOn === null ? null : formatDay(untilOn) }
}

const records = route({
  method: 'get',
  path: '/v1/districts/{districtId}/post-records',
  tag: 'Places',
  summary: 'What is known of each health post, and what its record lacks today',
  roles: ['manager', 'officer', 'operator', 'machine'],
  params: inDistrict,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    posts: z.array(
      settingShape.extend({
        villages: z.int(),
        vaccinators: z.int(),
        gaps: z.array(z.enum(POST_GAPS)),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, params }) => ({
    posts: (await postRecords(db, deps, params.districtId)).map(({ post, villages, vaccinators, gaps }) => {
      return { ...settingJson(post), villages, vaccinators, gaps: [...gaps] }
    }),
  }),
})

const add = route({
  method: 'post',
  path: '/v1/districts/{districtId}/posts',
  tag: 'Places',
  summary: 'Add a health post by hand, for good or for a time',
  roles: LEADERS,
  params: inDistrict,
  query: none,
  body: setting,
  status: 201,
  answer: settingShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) =>
    settingJson(await addPost(db, deps, { ...params, ...body, by: principal.name })),
})

const set = route({
  method: 'patch',
  path: '/v1/districts/{districtId}/posts/{postId}',
  tag: 'Places',
  summary: 'Change what a health post is; its villages, people, doses and counts stay with it',
  roles: LEADERS,
  params: z.object({ districtId: id, postId: id }),
  query: none,
  body: change,
  status: 200,
  answer: settingShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) =>
    settingJson(await setPost(db, deps, { ...params, change: body, by: principal.name })),
})

const takeList = route({
  method: 'post',
  path: '/v1/districts/{districtId}/facility-list',
  tag: 'Places',
  summary: 'Compare the posts with a national list of facilities; differences wait for a decision',
  roles: LEADERS,
  params: inDistrict,
  query: none,
  body: z.strictObject({
    csv: z.string().max(2_000_000).describe('Columns national_id and name (RFC 4180), this district only.'),
  }),
  status: 200,
  answer: z.object({ facilities: z.int(), asked: z.int(), odd: z.array(z.string()).readonly() }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: ({ db, deps, principal, params, body }) =>
    takeFacilityList(db, deps, { ...params, ...body, by: principal.name }),
})

const differences = route({
  method: 'get',
  path: '/v1/districts/{districtId}/post-differences',
  tag: 'Places',
  summary: 'What the national list of facilities says otherwise, and nobody decided on yet',
  roles: [...LEADERS, 'operator'],
  params: inDistrict,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    differences: z.array(
      z.object({
        id,
        kind: z.enum(['new', 'renamed', 'same-name', 'not-listed']),
        nationalId: z.string(),
        name: z.string().nullable().describe('As the list has it.'),
        postId: id.nullable(),
      }),
    ),
  }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params: { districtId } }) => ({
    differences: (await listPostDifferences(db, districtId)).map(
      ({ id: differenceId, kind, nationalId, name, postId }) => {
        return { id: differenceId, kind, nationalId, name, postId }
      },
    ),
  }),
})

const decide = route({
  method: 'post',
  path: '/v1/districts/{districtId}/post-differences/{differenceId}',
  tag: 'Places',
  summary: 'Take a difference over, or leave things as they are; it is not asked again',
  roles: LEADERS,
  params: z.object({ districtId: id, differenceId: id }),
  query: none,
  body: z.strictObject({ isAccepted: z.boolean() }),
  status: 200,
  answer: z.object({ isAccepted: z.boolean() }),
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, deps, principal, params, body }) => {
    await decideOnDifference(db, deps, { ...params, ...body, by: principal.name })
    return body
  },
})

export const POST_ROUTES = [records, add, set, takeList, differences, decide]
