import { districtFigures, rowOf } from '../../app/pages/district-figures.ts'
import type { DistrictFigures } from '../../app/pages/district-figures.ts'
import { windowNamed } from '../../app/pages/figure-choice.ts'
import { reportDropout } from '../../app/report-dropout.ts'
import type { DropoutRow } from '../../app/report-dropout.ts'
import { reportSameDay } from '../../app/report-same-day.ts'
import type { CoverageRow } from '../../core/coverage/coverage-rows.ts'
import { showRatio } from '../../core/coverage/shown-ratio.ts'
import { ALL_VILLAGES } from '../../core/coverage/coverage-rows.ts'
import { choiceFields, choiceOf, choiceWords } from './choices.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { villageLink } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import { sameDayTable } from './same-day.ts'
import type { Visit } from './visit.ts'
import { dropoutText } from './words.ts'

/** Every dose in every village at once, where children drop out between two doses, and which belong on one day. */
export async function dosesPage({ scope, query }: Visit): Promise<DistrictPage> {
  const choice = choiceOf(query)
  const figures = await districtFigures(scope, choice)
  const window = windowNamed(choice.window, scope.today)
  const asked = { districtId: scope.district.id, window }
  const dropouts = await reportDropout(scope.db, scope.deps.shelf, { ...asked, asOf: scope.today })
  const sameDay = await reportSameDay(scope.db, scope.deps.shelf, asked)
  const body = html`<h1>All doses</h1>
    <p class="about">${choiceWords(scope, choice)}</p>
    <form class="choices" method="get">${choiceFields(scope, choice)}<button>Show</button></form>
    ${grid(figures)}
    <h2>Dropout</h2>
    ${dropoutTable(dropouts.filter(({ village }) => village === ALL_VILLAGES))}
    ${sameDayTable(sameDay, scope.district.name)}`
  return { title: 'All doses', way: 'Doses', body }
}

function grid(figures: DistrictFigures): Markup {
  const { report, sheet, villages, cutOffs } = figures
  const cutOff = cutOffs.coveragePercent
  const cells = (village: string): Markup[] => {
    const doses = sheet.doses.map(({ series, dose }) => rowOf(report.rows, { village, series, dose }))
    const full = report.fullyImmunised.filter((row) => row.village === village)
    return [...doses, ...full].map((row) => cell(row, cutOff))
  }
  return html`<div ${SCROLLING}>
    <table class="grid">
      <caption>
        Whole percent of the target, rounded down. The darker, the fewer are reached;
        <b>bold</b>
        is below ${cutOff} %, ▲ is over 100 %, n/N are few children.
      </caption>
      <thead>
        <tr>
          <th scope="col">Village</th>
          ${sheet.doses.map((dose) => html`<th scope="col">${dose.series}<br />${dose.dose}</th>`)}
          <th scope="col">all infant<br />doses</th>
        </tr>
      </thead>
      <tbody>
        ${villages.map(
          ({ village }) =>
            html`<tr>
              <th scope="row">${villageLink(village)}</th>
              ${cells(village.name)}
            </tr>`,
        )}
      </tbody>
      <tfoot>
        <tr>
          <th scope="row">${report.district.name}</th>
          ${cells(ALL_VILLAGES)}
        </tr>
      </tfoot>
    </table>
  </div>`
}

/** Shades from dark, far below the cut-off, to none, at the target. */
const SHADES = [50, 65, 80, 95] as const

function cell(row: CoverageRow, cutOff: number): Markup {
  const { percent, flags } = row
  if (percent === null) return html`<td class="number about">${row.numerator}</td>`
  const passed = SHADES.findIndex((limit) => percent < limit)
  const shade = passed === -1 ? SHADES.length : passed
  const isLow = percent < cutOff
  const shown = showRatio(row)
  // Rounded down, no figure is carried over the cut-off or the target.
  const text = shown.kind === 'percent' ? Math.floor(percent) : shown.text
  return html`<td class="number shade-${shade}">
    ${isLow ? html`<b>${text}</b>` : text}${flags.includes('over-100') ? ' ▲' : ''}
  </td>`
}

/** The names of the pairs in the data file, in words. */
const PAIRS: Readonly<Record<string, string>> = {
  'dtp-1-3': 'first to third DTP-containing dose',
  'bcg-mcv-1': 'BCG to first measles dose',
  'mcv-1-2': 'first to second measles dose',
  'malaria-1-3': 'first to third malaria dose',
  'malaria-3-4': 'third to fourth malaria dose',
  'fipv-1-2': 'first to second inactivated polio dose',
}

function dropoutTable(rows: readonly DropoutRow[]): Markup {
  const pairs = [...new Set(rows.map(({ pair }) => pair))]
  const read = (pair: string, reading: DropoutRow['reading']): Markup | null => {
    const row = rows.find((each) => each.pair === pair && each.reading === reading)
    if (row === undefined) return null
    return html`<td class="number">
      ${dropoutText(row)} <span class="beside">${row.dropped} of ${row.first}</span>
    </td>`
  }
  return html`<div ${SCROLLING}>
    <table>
      <caption>
        Followed: of the children who had the first dose and are past due for the later one, those without it.
        Counted: first doses less later doses; it mixes children and may be negative.
      </caption>
      <thead>
        <tr>
          <th scope="col">From dose to dose</th>
          <th scope="col" class="number">Children followed</th>
          <th scope="col" class="number">Doses counted</th>
        </tr>
      </thead>
      <tbody>
        ${pairs.map(
          (pair) =>
            html`<tr>
              <th scope="row">${PAIRS[pair] ?? pair}</th>
              ${read(pair, 'cohort')} ${read(pair, 'period')}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}
