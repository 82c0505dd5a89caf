import { z } from 'zod'
import { areaCsv, coverageCsv } from '../../app/coverage-file.ts'
import { areaFigures, coverageTable, orderedPlaces } from '../../app/pages/coverage-table.ts'
import type { CoverageTable, DoseInTable, MeasuredPlace } from '../../app/pages/coverage-table.ts'
import { tableCsv } from '../../app/pages/coverage-table-file.ts'
import { cutOffsOf, districtFigures } from '../../app/pages/district-figures.ts'
import type { DistrictScope } from '../../app/pages/district-scope.ts'
import { sheetIn } from '../../app/pages/dose-ladder.ts'
import type { FigureChoice } from '../../app/pages/figure-choice.ts'
import { findDose } from '../../core/coverage/dose-sheet.ts'
import type { DoseSheet } from '../../core/coverage/dose-sheet.ts'
import { showRatio } from '../../core/coverage/shown-ratio.ts'
import type { Measure } from '../../core/coverage/tally.ts'
import { coverageBars } from './charts/coverage-bars.ts'
import { choiceFields, choiceOf, choiceParams, choiceWords, selectField } from './choices.ts'
import { tableChoiceOf, tableFields, tableParams } from './coverage-choice.ts'
import type { AddressPart, TableChoice } from './coverage-choice.ts'
import { linesOf } from './coverage-lines.ts'
import type { DownloadedFile } from './download.ts'
import { doseOf, doseParam } from './dose-param.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { doseName } from './words.ts'

const doseQuery = z.object({
  dose: z
    .string()
    .regex(/^[\w-]+\.\d$/)
    .optional()
    .catch(undefined),
})

/** The table that an address asks for, in its order. */
interface AskedTable extends CoverageTable {
  readonly sheet: DoseSheet
  readonly dose: DoseInTable
  readonly figures: FigureChoice
  readonly choice: TableChoice
}

async function askedTable(scope: DistrictScope, query: unknown): Promise<AskedTable> {
  const figures = choiceOf(query)
  const choice = tableChoiceOf(query)
  const sheet = await sheetIn(scope)
  const dose = doseOf(sheet, doseQuery.parse(query).dose) ?? plainDose(sheet, scope.deps.shelf.indicators)
  const doses = choice.detail === 'dose' ? [dose] : sheet.doses
  const asked = doses.map(({ series, dose: number }) => ({ series, dose: number }))
  const table = await coverageTable(scope, figures, { doses: asked, places: choice.places })
  const places = choice.detail === 'district' ? [] : table.places
  const ordered = orderedPlaces(places, choice.sort ?? figures.measure, choice.order)
  return { sheet, dose, figures, choice, places: ordered, whole: table.whole }
}

/** Doses in every place: as a plot, and as a table of the lines and columns that were chosen, in any order. */
export async function coveragePage({ scope, query }: Visit): Promise<DistrictPage> {
  const table = await askedTable(scope, query)
  const { sheet, dose, figures, choice, places, whole } = table
  const { measure } = figures
  const params: AddressPart[] = [
    ...Object.entries(choiceParams(figures)),
    ...tableParams(choice),
    ['dose', doseParam(dose)],
  ]
  const look = { choice, sort: choice.sort ?? measure, params, districtId: scope.district.id }
  const isOfDose = ({ crude }: MeasuredPlace): boolean => doseParam(crude) === doseParam(dose)
  const what = choice.detail === 'dose' ? doseName(dose) : 'every dose'
  const body = html`<h1>Coverage: ${what}</h1>
    <p class="about">${choiceWords(scope, figures)}</p>
    <form class="choices" method="get">
      ${selectField(
        { id: 'dose', label: 'Dose' },
        sheet.doses.map((each) => ({ value: doseParam(each), name: doseName(each) })),
        doseParam(dose),
      )}
      ${choiceFields(scope, figures)} ${await tableFields(scope, choice)}<button>Show</button>
    </form>
    ${
      choice.detail === 'district'
        ? null
        : plot(places.filter(isOfDose), {
            dose,
            measure,
            cutOff: cutOffsOf(scope.deps.shelf.indicators).coveragePercent,
          })
    }
    ${linesOf(places, whole, look)} ${fileLinks(scope, table, params)}`
  return { title: `Coverage with ${what}`, way: 'Coverage', body }
}

function fileLinks(
  { district }: DistrictScope,
  { choice: { places, sort, order } }: AskedTable,
  params: readonly AddressPart[],
): Markup {
  const ordered: AddressPart[] =
    sort === undefined
      ? []
      : [
          ['sort', sort],
          ['order', order],
        ]
  const query = new URLSearchParams([...params, ...ordered]).toString()
  return html`<p class="screen-only">
    <a href="${pathIn(district.id, '/coverage-table.csv')}?${query}">This table as a file (CSV)</a> ·
    <a href="${pathIn(district.id, '/coverage.csv')}?${query}"
      >All doses of ${places.by === 'village' ? 'all villages' : 'these areas'} as a file (CSV)</a
    >
  </p>`
}

/** Coverage with every dose in every village, under the choice of the page. */
export async function coverageFile({ scope, query }: Visit): Promise<DownloadedFile> {
  const { places } = tableChoiceOf(query)
  const choice = choiceOf(query)
  const content =
    places.by === 'village'
      ? coverageCsv((await districtFigures(scope, choice)).report)
      : areaCsv(await areaFigures(scope, choice, places))
  return { name: 'coverage.csv', content }
}

/** The table of the page: its lines, its columns, its order. */
export async function coverageTableFile({ scope, query }: Visit): Promise<DownloadedFile> {
  const { places, whole, choice } = await askedTable(scope, query)
  return { name: 'coverage-table.csv', content: tableCsv([...places, ...whole], choice.columns) }
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
