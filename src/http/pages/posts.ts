import { z } from 'zod'
import { decideOnDifference } from '../../app/posts/facility-list.ts'
import { postRecords } from '../../app/posts/post-records.ts'
import type { PostRecord } from '../../app/posts/post-records.ts'
import { addPost, setPost } from '../../app/posts/set-post.ts'
import { listPostDifferences } from '../../app/views.ts'
import type { KeptDifference } from '../../app/views.ts'
import { parseDay } from '../../core/days/day.ts'
import { POST_KINDS } from '../../core/model.ts'
import type { PostKind } from '../../core/model.ts'
import type { PostGap } from '../../core/places/post-gaps.ts'
import { Refusal } from '../../core/refusals.ts'
import { proven } from './guard.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

/** The health posts: what they are, what their records lack, what the national list says otherwise. */
export async function postsPage(visit: Visit): Promise<DistrictPage> {
  const { db, deps, district } = visit.scope
  const records = await postRecords(db, deps, district.id)
  const differences = await listPostDifferences(db, district.id)
  const body = html`<h1>Health posts</h1>
    ${differencesList(visit, records, differences)}
    <div ${SCROLLING}>
      <table>
        <thead>
          <tr>
            <th scope="col">Post</th>
            <th scope="col">National number</th>
            <th scope="col">There</th>
            <th scope="col" class="number">Villages</th>
            <th scope="col" class="number">Vaccinators</th>
            <th scope="col">Missing</th>
            <th scope="col" class="screen-only">Change</th>
          </tr>
        </thead>
        <tbody>
          ${records.map((record) => postRow(visit, record))}
        </tbody>
      </table>
    </div>
    <h2>Add a post</h2>
    ${addForm(visit)}`
  return { title: 'Health posts', way: 'Data check', body }
}

const KINDS: Readonly<Record<PostKind, string>> = {
  permanent: 'for good',
  outreach: 'outreach',
  temporary: 'for a time',
}

const GAPS: Readonly<Record<PostGap, string>> = {
  'national-id': 'national number',
  'session-days': 'session days',
  villages: 'villages',
  vaccinator: 'a vaccinator',
  'time-is-over': 'its time is over',
}

function postRow(visit: Visit, { post, villages, vaccinators, gaps }: PostRecord): Markup {
  const { district } = visit.scope
  const until = post.untilOn === null ? '' : ` until ${dayText(district, post.untilOn)}`
  return html`<tr>
    <th scope="row">${post.name}</th>
    <td>${post.nationalId ?? ''}</td>
    <td>${KINDS[post.kind]}${until}</td>
    <td class="number">${villages}</td>
    <td class="number">${vaccinators}</td>
    <td>${gaps.map((gap) => GAPS[gap]).join(', ')}</td>
    <td class="screen-only">
      ${
        post.kind === 'permanent'
          ? null
          : html`<form method="post" action="${pathIn(district.id, `/posts/${post.id}/permanent`)}">
              ${formToken(visit)}<button class="quiet">Make it permanent</button>
            </form>`
      }
    </td>
  </tr>`
}

function differencesList(
  visit: Visit,
  records: readonly PostRecord[],
  differences: readonly KeptDifference[],
): Markup | null {
  if (differences.length === 0) return null
  const nameOf = (postId: string | null): string =>
    records.find(({ post }) => post.id === postId)?.post.name ?? ''
  return html`<h2>The national list says otherwise</h2>
    <ul>
      ${differences.map(
        (difference) =>
          html`<li>
            ${differenceText(difference, nameOf(difference.postId))} ${decisionForm(visit, difference)}
          </li>`,
      )}
    </ul>`
}

function differenceText({ kind, nationalId, name }: KeptDifference, post: string): string {
  switch (kind) {
    case 'new':
      return `${name} (${nationalId}) is no post here.`
    case 'renamed':
      return `${post} (${nationalId}) is called ${name}.`
    case 'same-name':
      return `${post} has the number ${nationalId}.`
    case 'not-listed':
      return `${post} (${nationalId}) is not on the list.`
  }
}

function decisionForm(visit: Visit, { id, districtId }: KeptDifference): Markup {
  return html`<form
    class="screen-only"
    method="post"
    action="${pathIn(districtId, `/post-differences/${id}`)}"
  >
    ${formToken(visit)}
    <button name="take" value="yes">Take it over</button>
    <button name="take" value="no" class="quiet">Leave it as it is</button>
  </form>`
}

function addForm(visit: Visit): Markup {
  return html`<form class="choices" method="post" action="${pathIn(visit.scope.district.id, '/posts/add')}">
    ${formToken(visit)}
    <label>Name <input name="name" maxlength="100" required /></label>
    <label>National number <input name="nationalId" maxlength="60" /></label>
    <label>
      There
      <select name="kind">
        ${POST_KINDS.map((kind) => html`<option value="${kind}">${KINDS[kind]}</option>`)}
      </select>
    </label>
    <label>Last day, of one for a time <input name="untilOn" type="date" /></label>
    <button>Add</button>
  </form>`
}

const sentPost = z.object({
  name: z.string().trim().min(1).max(100),
  nationalId: z.string().trim().max(60).default(''),
  kind: z.enum(POST_KINDS),
  untilOn: z.string().default(''),
})

export async function addPostFrom(visit: Visit, sent: unknown): Promise<string> {
  const { scope, visitor } = visit
  const { nationalId, untilOn, ...rest } = proven(sentPost, sent)
  const end = untilOn === '' ? null : parseDay(untilOn)
  if (end === undefined) throw new Refusal('input-invalid', 'Write the last day as 2026-03-31.')
  await scope.deps.database.transaction((tx) =>
    addPost(tx, scope.deps, {
      districtId: scope.district.id,
      by: visitor.holderId,
      ...rest,
      nationalId: nationalId === '' ? null : nationalId,
      untilOn: end,
    }),
  )
  return pathIn(scope.district.id, '/posts')
}

export async function makePermanentFrom({ scope, params, visitor }: Visit): Promise<string> {
  const { district, deps } = scope
  await deps.database.transaction((tx) =>
    setPost(tx, deps, {
      districtId: district.id,
      by: visitor.holderId,
      postId: params['postId'] ?? '',
      change: { kind: 'permanent' },
    }),
  )
  return pathIn(district.id, '/posts')
}

const sentDecision = z.object({ take: z.enum(['yes', 'no']) })

export async function decideFrom({ scope, params, visitor }: Visit, sent: unknown): Promise<string> {
  const { district, deps } = scope
  const isAccepted = proven(sentDecision, sent).take === 'yes'
  await deps.database.transaction((tx) =>
    decideOnDifference(tx, deps, {
      districtId: district.id,
      differenceId: params['differenceId'] ?? '',
      isAccepted,
      by: visitor.holderId,
    }),
  )
  return pathIn(district.id, '/posts')
}
