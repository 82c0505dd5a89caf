/** How entries were made: by post and month, and who is no longer followed. */
import type { ClosedCount, EntryCount } from '../../app/pages/data-check.ts'
import { civilDate } from '../../core/days/day.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'

/** Doses by how soon they were told and children by how complete their record is, of each post and month. */
export function entriesTable(entries: readonly EntryCount[]): Markup | null {
  if (entries.length === 0) return null
  return html`<div class="scroll">
    <table>
      <caption>
        By post and month. Complete: sex, exact birth date and a phone are on record.
      </caption>
      <thead>
        <tr>
          <th scope="col">Post</th>
          <th scope="col">Month</th>
          <th scope="col" class="number">Doses told</th>
          <th scope="col" class="number">within 1 day</th>
          <th scope="col" class="number">7 days</th>
          <th scope="col" class="number">30 days</th>
          <th scope="col" class="number">Enrolled</th>
          <th scope="col" class="number">complete</th>
        </tr>
      </thead>
      <tbody>
        ${entries.map(({ post, monthOn, doses, within, children, complete }) => {
          const { year, month } = civilDate(monthOn)
          return html`<tr>
            <th scope="row">${post}</th>
            <td>${month}/${year}</td>
            <td class="number">${doses}</td>
            ${within.map((count) => html`<td class="number">${count}</td>`)}
            <td class="number">${children}</td>
            <td class="number">${complete}</td>
          </tr>`
        })}
      </tbody>
    </table>
  </div>`
}

/** Children no longer followed, by status and reason. */
export function closedList(closed: readonly ClosedCount[]): Markup {
  if (closed.length === 0) return html`<p>Every child on the register is followed.</p>`
  return html`<ul>
    ${closed.map(
      ({ status, reason, children }) =>
        html`<li>
          ${status.replaceAll('-', ' ')}${reason === null ? ', no reason noted' : `, ${reason}`}: ${children}
        </li>`,
    )}
  </ul>`
}
