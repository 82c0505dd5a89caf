import type { SameDayRow } from '../../app/report-same-day.ts'
import { ALL_VILLAGES } from '../../core/coverage/coverage-rows.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { doseName, ratioMarkup } from './words.ts'

/** Villages by pairs of doses due together; nothing where the schedule has no such pair. */
export function sameDayTable(rows: readonly SameDayRow[], district: string): Markup | null {
  const whole = rows.filter(({ village }) => village === ALL_VILLAGES)
  if (whole.length === 0) return null
  const names = [...new Set(rows.map(({ village }) => village))].filter((name) => name !== ALL_VILLAGES)
  const line = (village: string, title: string): Markup =>
    html`<tr>
      <th scope="row">${title}</th>
      ${rows.filter((row) => row.village === village).map(cell)}
    </tr>`
  return html`<h2>Given on one day</h2>
    <div ${SCROLLING}>
      <table>
        <caption>
          Of the children who had both of two doses that are due together, those who had them on one day.
        </caption>
        <thead>
          <tr>
            <th scope="col">Village</th>
            ${whole.map(
              ({ doses }) =>
                html`<th scope="col" class="number">
                  ${doseName(doses.first)} and ${doseName(doses.later)}
                </th>`,
            )}
          </tr>
        </thead>
        <tbody>
          ${names.map((name) => line(name, name))}
        </tbody>
        <tfoot>
          ${line(ALL_VILLAGES, district)}
        </tfoot>
      </table>
    </div>`
}

function cell(row: SameDayRow): Markup {
  return html`<td class="number">${row.denominator === 0 ? '–' : ratioMarkup(row)}</td>`
}
