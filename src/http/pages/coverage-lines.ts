/** The coverage table: places, in the columns and the order that were chosen. */
import type { CoverageOrder, MeasuredPlace } from '../../app/pages/coverage-table.ts'
import type { TableColumn } from '../../app/pages/coverage-table-file.ts'
import type { CoverageRow } from '../../core/coverage/coverage-rows.ts'
import { showRatio } from '../../core/coverage/shown-ratio.ts'
import { COLUMN_NAMES } from './coverage-choice.ts'
import type { AddressPart, TableChoice } from './coverage-choice.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import { doseName, flagTexts, ratioMarkup, targetText } from './words.ts'

export interface LinesLook {
  readonly choice: Pick<TableChoice, 'columns' | 'detail' | 'order' | 'places'>
  readonly sort: CoverageOrder
  /** What a heading keeps of the address. */
  readonly params: readonly AddressPart[]
  readonly districtId: string
}

export function linesOf(
  places: readonly MeasuredPlace[],
  whole: readonly MeasuredPlace[],
  look: LinesLook,
): Markup {
  const { columns, detail, places: shown } = look.choice
  return html`<div ${SCROLLING}>
    <table>
      <caption>
        A heading puts the table in its order.
      </caption>
      <thead>
        <tr>
          ${sortHead(look, 'village', shown.by === 'village' ? 'Village' : 'Area')}
          ${detail === 'dose' ? null : html`<th scope="col">Dose</th>`}
          ${columns.map((column) =>
            column === 'note'
              ? html`<th scope="col">Note</th>`
              : sortHead(look, column, COLUMN_NAMES[column]),
          )}
        </tr>
      </thead>
      <tbody>
        ${places.map((place) => line(place, look))}
      </tbody>
      <tfoot>
        ${whole.map((place) => line(place, look))}
      </tfoot>
    </table>
  </div>`
}

/** A heading that sorts; by the column that is sorted already it turns the order round. */
function sortHead({ params, sort, choice: { order } }: LinesLook, by: CoverageOrder, name: string): Markup {
  const isSorted = sort === by
  const next = isSorted && order === 'up' ? 'down' : 'up'
  const query = new URLSearchParams([...params, ['sort', by], ['order', next]])
  const state = isSorted ? html`aria-sort="${order === 'up' ? 'ascending' : 'descending'}"` : null
  const arrow = isSorted ? (order === 'up' ? ' ▲' : ' ▼') : ''
  return html`<th scope="col" class="${by === 'village' ? '' : 'number'}" ${state}>
    <a href="?${query.toString()}">${name}</a>${arrow}
  </th>`
}

function line(place: MeasuredPlace, { choice: { columns, detail }, districtId }: LinesLook): Markup {
  const { name, villageId, crude } = place
  return html`<tr>
    <th scope="row">
      ${villageId === null ? name : html`<a href="${pathIn(districtId, `/villages/${villageId}`)}">${name}</a>`}
    </th>
    ${detail === 'dose' ? null : html`<td>${doseName(crude)}</td>`}
    ${columns.map((column) => cell(place, column))}
  </tr>`
}

function cell(place: MeasuredPlace, column: TableColumn): Markup {
  if (column === 'note') return html`<td>${noteOf(place)}</td>`
  if (column === 'target') return html`<td class="number">${targetText(place.crude)}</td>`
  return html`<td class="number">${ratioMarkup(place[column])} ${countBeside(place[column])}</td>`
}

/** The count beside a percentage; of few children the interval instead, since the count stands there already. */
function countBeside(row: CoverageRow): Markup {
  const shown = showRatio(row)
  const beside =
    shown.kind === 'count' ? (shown.interval === null ? '' : `${shown.interval} %`) : String(row.numerator)
  return html`<span class="beside">${beside}</span>`
}

function noteOf({ crude, target }: MeasuredPlace): string {
  const source =
    target?.source == null ? [] : [`target: ${target.source}${target.year === null ? '' : ` ${target.year}`}`]
  return [...flagTexts(crude.flags), ...source].join('; ')
}
