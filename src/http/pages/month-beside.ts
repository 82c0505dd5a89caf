/** Two months side by side: what was given in each, and what became more or less. */
import { z } from 'zod'
import { rowOf } from '../../app/pages/district-figures.ts'
import { monthRows } from '../../app/pages/month-report.ts'
import type { MonthReport } from '../../app/pages/month-report.ts'
import { ALL_VILLAGES } from '../../core/coverage/coverage-rows.ts'
import { addMonths, parseDay } from '../../core/days/day.ts'
import { selectField } from './choices.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { monthName } from './month-name.ts'
import type { Visit } from './visit.ts'
import { doseName } from './words.ts'

/** Months offered to compare with: those before. */
const OFFERED = 12

const besideQuery = z.object({
  with: z
    .string()
    .transform((month) => parseDay(`${month}-01`))
    .optional()
    .catch(undefined),
})

/** A form to choose another month, and the two side by side where one was chosen. */
export async function monthBeside({ scope, query }: Visit, report: MonthReport): Promise<Markup> {
  const other = besideQuery.parse(query).with
  const months = Array.from({ length: OFFERED }, (_, back) => monthName(addMonths(report.fromOn, -1 - back)))
  const chosen = other === undefined ? (months[0] ?? '') : monthName(other)
  const form = html`<form class="choices screen-only" method="get">
    ${selectField(
      { id: 'with', label: 'Compare with' },
      months.map((value) => ({ value, name: value })),
      chosen,
    )}
    <button>Compare</button>
  </form>`
  if (other === undefined) return form
  return html`${form}
  ${sideBySide(scope.villages, report, { name: chosen, rows: await monthRows(scope, other) })}`
}

interface OtherMonth extends Pick<MonthReport, 'rows'> {
  readonly name: string
}

function sideBySide(
  villages: Visit['scope']['villages'],
  { fromOn, doses, rows }: MonthReport,
  other: OtherMonth,
): Markup {
  const months = [other.name, monthName(fromOn), 'Change']
  const places = [
    ...villages.map(({ name }) => ({ name, shown: name })),
    { name: ALL_VILLAGES, shown: 'All' },
  ]
  const title = `Doses given in ${other.name} and in ${monthName(fromOn)}`
  // Wider than most screens, and without a link in it: the keyboard has to reach it to move it.
  return html`<div class="scroll" role="region" aria-label="${title}" tabindex="0">
    <table>
      <caption>
        ${title}.
      </caption>
      <thead>
        <tr>
          <th scope="col" rowspan="2">Village</th>
          ${doses.map((dose) => html`<th scope="colgroup" class="number" colspan="3">${doseName(dose)}</th>`)}
        </tr>
        <tr>
          ${doses.map(() => months.map((name) => html`<th scope="col" class="number">${name}</th>`))}
        </tr>
      </thead>
      <tbody>
        ${places.map(
          ({ name, shown }) =>
            html`<tr>
              <th scope="row">${shown}</th>
              ${doses.map((dose) => {
                const wanted = { village: name, ...dose }
                return change(rowOf(other.rows, wanted).numerator, rowOf(rows, wanted).numerator)
              })}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}

function change(before: number, after: number): Markup {
  const more = after - before
  return html`<td class="number">${before}</td>
    <td class="number">${after}</td>
    <td class="number">${more > 0 ? `+${more}` : more}</td>`
}
