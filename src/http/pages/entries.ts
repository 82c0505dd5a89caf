/** How entries were made: by post and month, and who is no longer followed. */
import type { ClosedCount, EntryCount } from '../../app/pages/data-check.ts'
import type { NewbornEnrolment } from '../../app/report-newborn-enrolment.ts'
import { ALL_VILLAGES } from '../../core/coverage/coverage-rows.ts'
import { civilDate } from '../../core/days/day.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'

/** Doses by how soon they were told and children by how complete their record is, of each post and month. */
export function entriesTable(entries: readonly EntryCount[]): Markup | null {
  if (entries.length === 0) return null
  return html`<div ${SCROLLING}>
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

/** How soon the children of the last twelve months came on the register, by village. */
export function newbornTable(rows: readonly NewbornEnrolment[]): Markup | null {
  const [any] = rows
  if (any === undefined || rows.every(({ total }) => total === 0)) return null
  return html`<div ${SCROLLING}>
    <table>
      <caption>
        Children born in the last twelve months by how soon they came on the register, registers taken over
        left out.
      </caption>
      <thead>
        <tr>
          <th scope="col">Village</th>
          <th scope="col" class="number">Enrolled</th>
          ${any.within.map(({ limitDays }) => html`<th scope="col" class="number">within ${limitDays} days</th>`)}
          <th scope="col" class="number">Median days</th>
        </tr>
      </thead>
      <tbody>
        ${rows.map(
          ({ village, total, within, medianDays }) =>
            html`<tr>
              <th scope="row">${village === ALL_VILLAGES ? 'The district' : village}</th>
              <td class="number">${total}</td>
              ${within.map(({ count }) => html`<td class="number">${count}</td>`)}
              <td class="number">${medianDays ?? ''}</td>
            </tr>`,
        )}
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
