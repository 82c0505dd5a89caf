/** Pairs that may be one: the list of them, what was settled, and merges that can be undone. */
import { z } from 'zod'
import { checkOwnDistrict, flagOwnChild, ownDoubles, undoOwnMerge } from '../../app/pages/own-double.ts'
import type { DoubleLists, ListedDouble, ListedMerge } from '../../app/pages/own-double.ts'
import { dayAt } from '../../core/days/zoned-time.ts'
import { proven } from './guard.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

const FACTS = { name: 'name', birth: 'birth date', village: 'village', phone: 'phone', sex: 'sex' } as const

type DoubleItem = Pick<ListedDouble, 'kind' | 'points' | 'reasons' | 'raisedBy' | 'comment'>

/** Why two records were put side by side: `name same (6), birth date 1 day apart (3)`. */
export function reasonsText({ points, reasons, raisedBy, comment, kind }: DoubleItem): string {
  const because = (reasons ?? []).map((reason) => `${FACTS[reason.fact]} ${reason.says} (${reason.points})`)
  return [
    ...(raisedBy === null ? [] : ['a person asked for a look']),
    ...(kind === 'double' || raisedBy !== null ? [] : ['doses of one series close together']),
    ...(points === null ? [] : [`${points} points: ${because.join(', ')}`]),
    ...(comment === null ? [] : [`“${comment}”`]),
  ].join('; ')
}

/** What waits, likeliest first; below it what was settled and merged. */
export async function doublesPage(visit: Visit): Promise<DistrictPage> {
  const lists = await ownDoubles(visit.scope)
  const body = html`<h1>Doubles</h1>
    <p class="about">
      Records that may be of one child, likeliest first, and reports that may be of one dose. Nothing is
      merged unless a person says so, and a merge can be undone.
    </p>
    ${waitingTable(visit, lists.waiting)} ${checkForm(visit)}
    <h2 id="merges">Merges</h2>
    ${mergeList(visit, lists.merges)}
    <h2 id="settled">Settled</h2>
    ${settledReport(visit, lists)}`
  return { title: 'Doubles', way: 'Data check', body }
}

function waitingTable(visit: Visit, waiting: DoubleLists['waiting']): Markup {
  if (waiting.length === 0) return html`<p>No pair waits.</p>`
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">Who</th>
          <th scope="col">Perhaps</th>
          <th scope="col">Why</th>
          <th scope="col">Since</th>
        </tr>
      </thead>
      <tbody>
        ${waiting.map(
          (item) =>
            html`<tr>
              <th scope="row">
                <a href="${pathIn(item.districtId, `/doubles/${item.id}`)}">${item.names.join(' and ')}</a>
              </th>
              <td>${KINDS[item.kind]}</td>
              <td>${reasonsText(item)}</td>
              <td>${dayOf(visit, item.createdAt)}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}

const KINDS = { double: 'one child twice', 'dose-twice': 'one dose twice' } as const

function dayOf({ scope }: Visit, at: Date): string {
  return dayText(scope.district, dayAt(at, scope.district.timeZone))
}

function checkForm(visit: Visit): Markup {
  return html`<form
    method="post"
    action="${pathIn(visit.scope.district.id, '/doubles/check')}"
    class="screen-only"
  >
    ${formToken(visit)}<button class="quiet">Compare every child again</button>
  </form>`
}

function mergeList(visit: Visit, merges: readonly ListedMerge[]): Markup {
  if (merges.length === 0) return html`<p>None.</p>`
  return html`<ul>
    ${merges.map((merge) => html`<li>${mergeLine(visit, merge)}</li>`)}
  </ul>`
}

function mergeLine(visit: Visit, merge: ListedMerge): Markup {
  const { id, districtId, staysId, staysName, leavesName, mergedAt, undoneAt, comment } = merge
  return html`${leavesName} into <a href="${pathIn(districtId, `/children/${staysId}`)}">${staysName}</a>,
    ${dayOf(visit, mergedAt)}${comment === null ? null : html`: ${comment}`}
    ${
      undoneAt === null
        ? html`<form method="post" action="${pathIn(districtId, `/merges/${id}/undo`)}" class="screen-only">
            ${formToken(visit)}
            <input name="comment" maxlength="500" placeholder="why" aria-label="Why it is undone" />
            <button class="quiet" aria-label="Undo the merge of ${leavesName} into ${staysName}">Undo</button>
          </form>`
        : html`(undone ${dayOf(visit, undoneAt)})`
    }`
}

const OUTCOMES: Readonly<Record<string, string>> = {
  merged: 'merged',
  'not-double': 'two, not one',
  'one-dose': 'one dose',
  'no-longer': 'likely no more',
}

function outcomeText({ kind, outcome }: Pick<ListedDouble, 'kind' | 'outcome'>): string {
  return `${KINDS[kind]}: ${OUTCOMES[outcome ?? ''] ?? outcome ?? ''}`
}

/** How many pairs of each kind came out how, then the latest of them. */
function settledReport(visit: Visit, { settled, report }: DoubleLists): Markup {
  if (settled.length === 0) return html`<p>None.</p>`
  return html`<p>${report.map((count) => `${outcomeText(count)} ${count.pairs}`).join('; ')}.</p>
    <ul>
      ${settled.map((item) => html`<li>${settledLine(visit, item)}</li>`)}
    </ul>`
}

function settledLine(visit: Visit, item: ListedDouble): Markup {
  const { id, districtId, names, closedAt, comment } = item
  return html`<a href="${pathIn(districtId, `/doubles/${id}`)}">${names.join(' and ')}</a>,
    ${outcomeText(item)}${closedAt === null ? '' : `, ${dayOf(visit, closedAt)}`}${comment === null ? '' : `: ${comment}`}`
}

/** On a child's page: says that the child has another record too. */
export function flagForm(visit: Visit, childId: string): Markup {
  return html`<details class="screen-only">
    <summary>Flag as a double</summary>
    <form method="post" action="${pathIn(visit.scope.district.id, `/children/${childId}/double`)}">
      ${formToken(visit)}
      <input
        name="card"
        maxlength="20"
        required
        inputmode="numeric"
        placeholder="card of the other record"
        aria-label="Card of the other record"
      />
      <input name="comment" maxlength="500" placeholder="why" aria-label="Why it may be a double" />
      <button>Compare</button>
    </form>
  </details>`
}

/** A field that was left empty says nothing. */
export const commentField = z
  .string()
  .trim()
  .max(500)
  .default('')
  .transform((text) => (text === '' ? null : text))
const flagFields = z.object({ card: z.string().trim().min(1).max(20), comment: commentField })
const undoFields = z.object({ comment: commentField })

/** Keeps what was flagged; answers the page of the pair. */
export async function flagDoubleFrom({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const flagged = { childId: params['childId'] ?? '', ...proven(flagFields, sent) }
  return pathIn(scope.district.id, `/doubles/${await flagOwnChild(scope, visitor, flagged)}`)
}

export async function undoMergeFrom({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const undone = { mergeId: params['mergeId'] ?? '', ...proven(undoFields, sent) }
  await undoOwnMerge(scope, visitor, undone)
  return `${pathIn(scope.district.id, '/doubles')}#merges`
}

export async function checkDoublesFrom({ scope, visitor }: Visit): Promise<string> {
  await checkOwnDistrict(scope, visitor)
  return pathIn(scope.district.id, '/doubles')
}
