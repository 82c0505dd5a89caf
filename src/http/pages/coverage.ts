import { z } from 'zod'
import { areaCsv, coverageCsv } from '../../app/coverage-file.ts'
import { areaFigures, areaLevels, coverageTable, orderedPlaces } from '../../app/pages/coverage-table.ts'
import type {
  CoverageOrder,
  DoseInTable,
  MeasuredPlace,
  TablePlaces,
} from '../../app/pages/coverage-table.ts'
import type { DistrictScope } from '../../app/pages/district-scope.ts'
import { cutOffsOf, districtFigures } from '../../app/pages/district-figures.ts'
import { sheetIn } from '../../app/pages/dose-ladder.ts'
import type { CoverageRow } from '../../core/coverage/coverage-rows.ts'
import { findDose } from '../../core/coverage/dose-sheet.ts'
import type { DoseSheet } from '../../core/coverage/dose-sheet.ts'
import { showRatio } from '../../core/coverage/shown-ratio.ts'
import type { Measure } from '../../core/coverage/tally.ts'
import { coverageBars } from './charts/coverage-bars.ts'
import { choiceFields, choiceOf, choiceParams, choiceWords, selectField } from './choices.ts'
import type { DownloadedFile } from './download.ts'
import { doseOf, doseParam } from './dose-param.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { doseName, flagTexts, ratioMarkup, targetText } from './words.ts'

const ORDERS = ['village', 'target', 'crude', 'valid', 'timely'] as const

const coverageQuery = z.object({
  dose: z
    .string()
    .regex(/^[\w-]+\.\d$/)
    .optional()
    .catch(undefined),
  sort: z.enum(ORDERS).optional().catch(undefined),
  order: z.enum(['up', 'down']).catch('up'),
})

const placesQuery = z.object({
  by: z
    .string()
    .regex(/^(village|level-[1-9])$/)
    .catch('village'),
  shape: z.enum(['then', 'now']).catch('then'),
})

/** What stands on a line of the table. */
function placesOf(query: unknown): TablePlaces {
  const { by, shape: shown } = placesQuery.parse(query)
  if (by === 'village') return { by }
  return { by: 'area', level: Number(by.slice('level-'.length)), shown }
}

function placesParams(places: TablePlaces): Readonly<Record<string, string>> {
  return places.by === 'village' ? {} : { by: `level-${places.level}`, shape: places.shown }
}

/** The choice of areas, where the district has any. */
async function placesFields(scope: DistrictScope, places: TablePlaces): Promise<Markup | null> {
  const { depth, isRedrawn } = await areaLevels(scope)
  if (depth === 0) return null
  const levels = Array.from({ length: depth }, (_, place) => String(place + 1))
  const options = [
    { value: 'village', name: 'villages' },
    ...levels.map((level) => ({ value: `level-${level}`, name: `areas, level ${level}` })),
  ]
  const params = placesParams(places)
  const shapes = [
    { value: 'then', name: 'as they were then' },
    { value: 'now', name: 'as they are now' },
  ]
  return html`${selectField({ id: 'by', label: 'Places' }, options, params['by'] ?? 'village')}
  ${isRedrawn ? selectField({ id: 'shape', label: 'Areas' }, shapes, params['shape'] ?? 'then') : null}`
}

/** One dose in every village: as a plot, and as a table that can be put in any order. */
export async function coveragePage({ scope, query }: Visit): Promise<DistrictPage> {
  const choice = choiceOf(query)
  const asked = coverageQuery.parse(query)
  const sheet = await sheetIn(scope)
  const dose = doseOf(sheet, asked.dose) ?? plainDose(sheet, scope.deps.shelf.indicators)
  const shownPlaces = placesOf(query)
  const { places, whole } = await coverageTable(scope, choice, { dose, places: shownPlaces })
  const sort = asked.sort ?? choice.measure
  const ordered = orderedPlaces(places, sort, asked.order)
  const params = { ...choiceParams(choice), ...placesParams(shownPlaces), dose: doseParam(dose) }
  const table: TableLook = {
    params,
    places: shownPlaces,
    sort,
    order: asked.order,
    districtId: scope.district.id,
  }
  const body = html`<h1>Coverage: ${doseName(dose)}</h1>
    <p class="about">${choiceWords(scope, choice)}</p>
    <form class="choices" method="get">
      ${selectField(
        { id: 'dose', label: 'Dose' },
        sheet.doses.map((each) => ({ value: doseParam(each), name: doseName(each) })),
        doseParam(dose),
      )}
      ${await placesFields(scope, shownPlaces)} ${choiceFields(scope, choice)}<button>Show</button>
    </form>
    ${plot(ordered, { dose, measure: choice.measure, cutOff: cutOffsOf(scope.deps.shelf.indicators).coveragePercent })}
    ${tableOf(ordered, whole, table)}
    <p class="screen-only">
      <a href="${pathIn(scope.district.id, '/coverage.csv')}?${new URLSearchParams(params).toString()}"
        >All doses of ${shownPlaces.by === 'village' ? 'all villages' : 'these areas'} as a file (CSV)</a
      >
    </p>`
  return { title: `Coverage with ${doseName(dose)}`, way: 'Coverage', body }
}

/** Coverage with every dose in every village, under the choice of the page. */
export async function coverageFile({ scope, query }: Visit): Promise<DownloadedFile> {
  const places = placesOf(query)
  const choice = choiceOf(query)
  const content =
    places.by === 'village'
      ? coverageCsv((await districtFigures(scope, choice)).report)
      : areaCsv(await areaFigures(scope, choice, places))
  return { name: 'coverage.csv', content }
}

/** Without a wish: the dose that completes the DTP-containing series, else the first of the schedule. */
function plainDose(sheet: DoseSheet, { underVaccinated }: Parameters<typeof cutOffsOf>[0]): DoseInTable {
  const dose = findDose(sheet, underVaccinated) ?? sheet.doses[0]
  if (dose === undefined) throw new Error('a schedule has at least one dose')
  return dose
}

interface PlotLook {
  readonly dose: DoseInTable
  readonly measure: Measure
  readonly cutOff: number
}

function plot(places: readonly MeasuredPlace[], { dose, measure, cutOff }: PlotLook): Markup {
  const bars = places.flatMap(({ name, [measure]: row }) => {
    if (row.percent === null) return []
    const shown = showRatio(row, [cutOff])
    const label = shown.kind === 'percent' ? `${shown.text} %` : shown.text
    return [{ name, percent: row.percent, label, isFew: shown.kind === 'count' }]
  })
  if (bars.length === 0) return html`<p>No place has a target, so there is no coverage to show.</p>`
  return html`<figure>
    ${coverageBars({
      id: 'coverage-bars',
      title: `Coverage with ${doseName(dose)}, ${measure}, in percent`,
      description: bars.map(({ name, label }) => `${name} ${label}`).join('; '),
      bars,
      cutOff,
    })}
    <figcaption>Hollow bars: few children; the count stands beside them.</figcaption>
  </figure>`
}

interface TableLook {
  readonly params: Readonly<Record<string, string>>
  readonly places: TablePlaces
  readonly sort: CoverageOrder
  readonly order: 'up' | 'down'
  readonly districtId: string
}

function tableOf(places: readonly MeasuredPlace[], whole: MeasuredPlace, look: TableLook): Markup {
  const head = (by: CoverageOrder, name: string): Markup => sortHead(look, by, name)
  return html`<div class="scroll">
    <table>
      <caption>
        Crude, valid and timely side by side. A heading puts the table in its order.
      </caption>
      <thead>
        <tr>
          ${head('village', look.places.by === 'village' ? 'Village' : 'Area')}${head('target', 'Target')}${head('crude', 'Crude')}${head(
            'valid',
            'Valid',
          )}${head('timely', 'Timely')}
          <th scope="col">Note</th>
        </tr>
      </thead>
      <tbody>
        ${places.map((place) => placeRow(place, look))}
      </tbody>
      <tfoot>
        ${placeRow(whole, look)}
      </tfoot>
    </table>
  </div>`
}

/** A heading that sorts; by the column that is sorted already it turns the order round. */
function sortHead({ params, sort, order }: TableLook, by: CoverageOrder, name: string): Markup {
  const isSorted = sort === by
  const next = isSorted && order === 'up' ? 'down' : 'up'
  const query = new URLSearchParams({ ...params, sort: by, order: next })
  const state = isSorted ? html`aria-sort="${order === 'up' ? 'ascending' : 'descending'}"` : null
  const arrow = isSorted ? (order === 'up' ? ' ▲' : ' ▼') : ''
  return html`<th scope="col" class="${by === 'village' ? '' : 'number'}" ${state}>
    <a href="?${query.toString()}">${name}</a>${arrow}
  </th>`
}

function placeRow(place: MeasuredPlace, { districtId }: TableLook): Markup {
  const { name, villageId, crude, valid, timely } = place
  return html`<tr>
    <th scope="row">
      ${villageId === null ? name : html`<a href="${pathIn(districtId, `/villages/${villageId}`)}">${name}</a>`}
    </th>
    <td class="number">${targetText(crude)}</td>
    ${[crude, valid, timely].map(
      (row) => html`<td class="number">${ratioMarkup(row)} ${countBeside(row)}</td>`,
    )}
    <td>${noteOf(place)}</td>
  </tr>`
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
