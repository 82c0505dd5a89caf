import { recordOfChild } from '../../app/audit/show-record.ts'
import type { RecordLine } from '../../app/audit/show-record.ts'
import { childStory } from '../../app/pages/child-story.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { timeText } from './words.ts'

/** Who saw, got or changed what of one child. */
export async function childRecordPage(visit: Visit): Promise<DistrictPage> {
  const { scope, params } = visit
  const { child } = await childStory(scope, params['childId'] ?? '')
  const lines = await recordOfChild(scope.db, child.id)
  const body = html`<h1>Who got what about ${child.name}</h1>
    <p class="about">
      <a href="${pathIn(scope.district.id, `/children/${child.id}`)}">back to the child</a> · what its own
      family was sent stands with its visits
    </p>
    ${lines.length === 0 ? html`<p>Nobody yet.</p>` : table(visit, lines)}`
  return { title: `Who got what: ${child.name}`, way: 'Find and follow', body }
}

function table({ scope }: Visit, lines: readonly RecordLine[]): Markup {
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">When</th>
          <th scope="col">Who</th>
          <th scope="col">Did</th>
          <th scope="col">What</th>
        </tr>
      </thead>
      <tbody>
        ${lines.map(
          ({ at, who, act, what, isAmongOthers }) =>
            html`<tr>
              <td>${timeText(scope.district, at)}</td>
              <th scope="row">${who}</th>
              <td>${act.replaceAll('-', ' ')}</td>
              <td>${what ?? ''}${isAmongOthers ? ', among others' : ''}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}
