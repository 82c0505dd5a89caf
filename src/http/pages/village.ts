import { districtFigures, rowOf } from '../../app/pages/district-figures.ts'
import type { DistrictFigures } from '../../app/pages/district-figures.ts'
import { villageIn } from '../../app/pages/district-scope.ts'
import { followList } from '../../app/pages/follow-lists.ts'
import { monthlyDoses } from '../../app/pages/progress.ts'
import type { MonthOfDoses } from '../../app/pages/progress.ts'
import { nextSessions } from '../../app/pages/session-lists.ts'
import { civilDate, formatDay } from '../../core/days/day.ts'
import type { Village } from '../../core/model.ts'
import { monthChart } from './charts/month-chart.ts'
import { choiceOf, choiceWords } from './choices.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { kindMarkup } from './kinds.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import { linesTable } from './lists.ts'
import type { Visit } from './visit.ts'
import { dayText, doseName, dropoutCount, dropoutText, flagTexts, ratioMarkup, targetText } from './words.ts'

const MONTHS = 24

/** One village: its figures, its last two years, whom to find, when the next sessions are. */
export async function villagePage(visit: Visit): Promise<DistrictPage> {
  const { scope, params, query } = visit
  const village = villageIn(scope, params['villageId'] ?? '')
  const choice = choiceOf(query)
  const figures = await districtFigures(scope, choice)
  const months = await monthlyDoses(scope, village.id, MONTHS)
  const missed = (await followList(scope, 'missed', village.id)).flatMap(({ lines }) => lines)
  const sessions = nextSessions(scope, village, 3)
  const body = html`<h1>${village.name}</h1>
    <p class="about">
      Served by ${village.postName}, sessions at ${village.sessionPlace}. Next:
      ${sessions.map(
        (on, place) =>
          html`${place === 0 ? '' : ', '}<a href="${pathIn(scope.district.id, `/sessions/${formatDay(on)}`)}"
              >${dayText(scope.district, on)}</a
            >`,
      )}
    </p>
    ${keyFigures(figures, village, missed.length)}
    <div class="side-by-side">
      <section>
        <h2>Doses</h2>
        <p class="about">${choiceWords(scope, choice)}</p>
        ${doseTable(figures, village)}
      </section>
      <section>
        <h2>The last two years</h2>
        ${timeline(figures, months)}
      </section>
    </div>
    <h2>To be found</h2>
    ${missed.length === 0 ? html`<p>Nobody missed the last visit.</p>` : linesTable(visit, 'missed', missed)}`
  return { title: village.name, way: 'Coverage', body }
}

function keyFigures({ villages, ladder }: DistrictFigures, village: Village, missed: number): Markup | null {
  const own = villages.find((figures) => figures.village.id === village.id)
  if (own === undefined) return null
  const { first, last, dropout, priority, underVaccinated } = own
  return html`<dl class="figures">
    <div>
      <dt>Reached: ${doseName(ladder.first)}</dt>
      <dd class="value">${ratioMarkup(first)}</dd>
      <dd>${first.numerator} of ${targetText(first)} ${flagTexts(first.flags).join(', ')}</dd>
    </div>
    <div>
      <dt>Completed: ${doseName(ladder.last)}</dt>
      <dd class="value">${ratioMarkup(last)}</dd>
      <dd>${last.numerator} of ${targetText(last)} ${flagTexts(last.flags).join(', ')}</dd>
    </div>
    <div>
      <dt>Dropout</dt>
      <dd class="value">${dropoutText(dropout)}</dd>
      <dd>${dropoutCount(dropout)}</dd>
    </div>
    <div>
      <dt>Under-vaccinated</dt>
      <dd class="value">${underVaccinated === null ? '–' : Math.round(underVaccinated.children)}</dd>
      <dd>children, by the target</dd>
    </div>
    <div>
      <dt>To be found now</dt>
      <dd class="value">${missed}</dd>
      <dd>missed the last visit</dd>
    </div>
    <div>
      <dt>Kind of problem</dt>
      <dd class="value">${kindMarkup(priority)}</dd>
    </div>
  </dl>`
}

function doseTable({ report, sheet }: DistrictFigures, village: Village): Markup {
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">Dose</th>
          <th scope="col" class="number">Children</th>
          <th scope="col" class="number">Target</th>
          <th scope="col" class="number">Coverage</th>
          <th scope="col">Note</th>
        </tr>
      </thead>
      <tbody>
        ${sheet.doses.map((dose) => {
          const row = rowOf(report.rows, { village: village.name, series: dose.series, dose: dose.dose })
          const names = pathIn(village.districtId, `/villages/${village.id}/children`)
          const query = new URLSearchParams({ dose: `${dose.series}.${dose.dose}` })
          return html`<tr>
            <th scope="row"><a href="${names}?${query.toString()}">${doseName(dose)}</a></th>
            <td class="number">${row.numerator}</td>
            <td class="number">${targetText(row)}</td>
            <td class="number">${ratioMarkup(row)}</td>
            <td>${flagTexts(row.flags).join(', ')}</td>
          </tr>`
        })}
      </tbody>
    </table>
  </div>`
}

const MONTH_NAMES = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

function timeline({ ladder }: DistrictFigures, months: readonly MonthOfDoses[]): Markup {
  const named = months.map(({ monthOn }) => {
    const { year, month } = civilDate(monthOn)
    return `${MONTH_NAMES[month - 1] ?? ''} ${String(year).slice(2)}`
  })
  const [first, last] = [doseName(ladder.first), doseName(ladder.last)]
  return html`<figure>
    ${monthChart({
      id: 'months',
      title: `Children by month: ${first} and ${last}`,
      description: months
        .map((month, place) => `${named[place] ?? ''}: ${month.first} and ${month.last}`)
        .join('; '),
      months: named,
      first: months.map((month) => month.first),
      last: months.map((month) => month.last),
    })}
    <figcaption>Light: children who had ${first}; dark: ${last}.</figcaption>
  </figure>`
}
