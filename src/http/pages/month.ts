import { monthReport } from '../../app/pages/month-report.ts'
import type { MonthReport, NotGivenCount } from '../../app/pages/month-report.ts'
import { rowOf } from '../../app/pages/district-figures.ts'
import { ALL_VILLAGES } from '../../core/coverage/coverage-rows.ts'
import { addDays, addMonths, parseDay } from '../../core/days/day.ts'
import { Refusal } from '../../core/refusals.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn, villageLink } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import { monthBeside } from './month-beside.ts'
import { monthName } from './month-name.ts'
import type { Visit } from './visit.ts'
import { doseName, ratioMarkup } from './words.ts'

/** A month on one page, to print and to pass on. @throws {Refusal} input-invalid for what is no month */
export async function monthPage(visit: Visit): Promise<DistrictPage> {
  const { scope, params } = visit
  const { district, today } = scope
  const day = parseDay(`${params['month'] ?? ''}-01`)
  if (day === undefined) throw new Refusal('input-invalid', 'Write the month as 2026-11.')
  const report = await monthReport(scope, day)
  const title = `${district.name}, ${monthName(day)}`
  const before = monthName(addDays(report.fromOn, -1))
  const after = addMonths(report.fromOn, 1)
  const body = html`<h1>${title}</h1>
    <p class="about">
      Doses on record given in the month, against a twelfth of the yearly target. ${report.missed} children
      are to be found now.
    </p>
    <p class="screen-only">
      <a href="${pathIn(district.id, `/months/${before}`)}">the month before</a>
      ${after > today ? null : html`· <a href="${pathIn(district.id, `/months/${monthName(after)}`)}">the month after</a>`}
      <button type="button" class="quiet" data-print hidden>Print</button>
    </p>
    ${doses(scope.villages, report)} ${await monthBeside(visit, report)}
    <h2>Sessions held</h2>
    ${sessions(report)}
    <h2>Why doses were not given</h2>
    ${reasons(report.notGiven)}`
  return { title, way: 'Progress', body }
}

function doses(villages: Visit['scope']['villages'], { doses, rows }: MonthReport): Markup {
  const places = [
    ...villages.map((village) => ({ name: village.name, shown: villageLink(village) })),
    { name: ALL_VILLAGES, shown: html`All` },
  ]
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">Village</th>
          ${doses.map((dose) => html`<th scope="col" class="number" colspan="2">${doseName(dose)}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${places.map(
          ({ name, shown }) =>
            html`<tr>
              <th scope="row">${shown}</th>
              ${doses.map((dose) => {
                const row = rowOf(rows, { village: name, ...dose })
                return html`<td class="number">${row.numerator}</td>
                  <td class="number">${ratioMarkup(row)}</td>`
              })}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}

function sessions({ posts }: MonthReport): Markup {
  return html`<ul>
    ${posts.map(
      ({ post, completion }) =>
        html`<li>
          ${post.name}: ${completion.held} of
          ${completion.planned}${completion.unplanned === 0 ? '' : `, ${completion.unplanned} more that were not planned`}
        </li>`,
    )}
  </ul>`
}

function reasons(notGiven: readonly NotGivenCount[]): Markup {
  if (notGiven.length === 0) return html`<p>None was reported.</p>`
  return html`<ul>
    ${notGiven.map(
      ({ village, reason, times }) => html`<li>${village}: ${reason.replaceAll('-', ' ')}, ${times}</li>`,
    )}
  </ul>`
}
