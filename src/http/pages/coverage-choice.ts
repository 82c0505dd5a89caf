/** What stands on the coverage table: places, doses, columns and order, all of it kept in the address. */
import { z } from 'zod'
import { areaLevels } from '../../app/pages/coverage-table.ts'
import type { CoverageOrder, TablePlaces } from '../../app/pages/coverage-table.ts'
import { TABLE_COLUMNS } from '../../app/pages/coverage-table-file.ts'
import type { TableColumn } from '../../app/pages/coverage-table-file.ts'
import type { DistrictScope } from '../../app/pages/district-scope.ts'
import { selectField } from './choices.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'

const ORDERS = ['village', 'target', 'crude', 'valid', 'timely'] as const satisfies readonly CoverageOrder[]

/** One dose in each place, every dose in each place, or every dose in the district alone. */
export type TableDetail = 'dose' | 'every-dose' | 'district'

export interface TableChoice {
  readonly places: TablePlaces
  readonly detail: TableDetail
  /** In the order of the table. */
  readonly columns: readonly TableColumn[]
  readonly sort: CoverageOrder | undefined
  readonly order: 'up' | 'down'
}

const tableQuery = z.object({
  by: z
    .string()
    .regex(/^(village|level-[1-9])$/)
    .catch('village'),
  shape: z.enum(['then', 'now']).catch('then'),
  detail: z.enum(['dose', 'every-dose', 'district']).catch('dose'),
  column: z
    .union([z.array(z.enum(TABLE_COLUMNS)), z.enum(TABLE_COLUMNS).transform((only) => [only])])
    .catch([...TABLE_COLUMNS]),
  sort: z.enum(ORDERS).optional().catch(undefined),
  order: z.enum(['up', 'down']).catch('up'),
})

/** Without a column named, all of them stand. */
export function tableChoiceOf(query: unknown): TableChoice {
  const { by, shape: shown, column, sort, ...rest } = tableQuery.parse(query)
  const level = Number(by.slice('level-'.length))
  return {
    ...rest,
    sort,
    places: by === 'village' ? { by } : { by: 'area', level, shown },
    columns: TABLE_COLUMNS.filter((name) => column.includes(name)),
  }
}

/** The choice as it stands in an address; the order is the heading's to say. */
export function tableParams({ places, detail, columns }: TableChoice): AddressPart[] {
  const chosen = columns.length === TABLE_COLUMNS.length ? [] : columns
  const areas: AddressPart[] =
    places.by === 'village'
      ? []
      : [
          ['by', `level-${places.level}`],
          ['shape', places.shown],
        ]
  const lines: AddressPart[] = detail === 'dose' ? [] : [['detail', detail]]
  return [...areas, ...lines, ...chosen.map((column): AddressPart => ['column', column])]
}

/** A name and its value in an address. */
export type AddressPart = [name: string, value: string]

const DETAILS: readonly { readonly value: TableDetail; readonly name: string }[] = [
  { value: 'dose', name: 'one dose in each place' },
  { value: 'every-dose', name: 'every dose in each place' },
  { value: 'district', name: 'every dose, the district alone' },
]

/** What stands at the head of each column. */
export const COLUMN_NAMES: Readonly<Record<TableColumn, string>> = {
  target: 'Target',
  crude: 'Crude',
  valid: 'Valid',
  timely: 'Timely',
  note: 'Note',
}

/** The fields of the choice; an order that was chosen by a heading stays. */
export async function tableFields(scope: DistrictScope, choice: TableChoice): Promise<Markup> {
  return html`${await placesFields(scope, choice.places)}
    ${selectField({ id: 'detail', label: 'Lines' }, DETAILS, choice.detail)}
    <fieldset class="columns">
      <legend>Columns</legend>
      ${TABLE_COLUMNS.map(
        (column) =>
          html`<label
            ><input
              type="checkbox"
              name="column"
              value="${column}"
              ${choice.columns.includes(column) ? html`checked` : null}
            />
            ${COLUMN_NAMES[column]}</label
          >`,
      )}
    </fieldset>
    ${
      choice.sort === undefined
        ? null
        : html`<input type="hidden" name="sort" value="${choice.sort}" />
            <input type="hidden" name="order" value="${choice.order}" />`
    }`
}

/** Villages or areas of a level, where the district has any. */
async function placesFields(scope: DistrictScope, places: TablePlaces): Promise<Markup | null> {
  const { depth, isRedrawn } = await areaLevels(scope)
  if (depth === 0) return null
  const levels = Array.from({ length: depth }, (_, place) => String(place + 1))
  const options = [
    { value: 'village', name: 'villages' },
    ...levels.map((level) => ({ value: `level-${level}`, name: `areas, level ${level}` })),
  ]
  const shapes = [
    { value: 'then', name: 'as they were then' },
    { value: 'now', name: 'as they are now' },
  ]
  const chosen = places.by === 'village' ? 'village' : `level-${places.level}`
  const shown = places.by === 'village' ? 'then' : places.shown
  return html`${selectField({ id: 'by', label: 'Places' }, options, chosen)}
  ${isRedrawn ? selectField({ id: 'shape', label: 'Areas' }, shapes, shown) : null}`
}
