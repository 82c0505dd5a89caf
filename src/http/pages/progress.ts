import { z } from 'zod'
import { villageIn } from '../../app/pages/district-scope.ts'
import { yearProgress } from '../../app/pages/progress.ts'
import type { Progress } from '../../app/pages/progress.ts'
import { firstOfMonth } from '../../core/coverage/report-window.ts'
import { addDays, civilDate } from '../../core/days/day.ts'
import { progressChart } from './charts/progress-chart.ts'
import { selectField } from './choices.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import { monthName } from './month-name.ts'
import type { Visit } from './visit.ts'
import { doseName, targetText } from './words.ts'

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']
/** Years offered, this one first. */
const YEARS = 4

const progressQuery = z.object({
  year: z.coerce.number().int().min(2000).max(2200).optional().catch(undefined),
  village: z.uuid().optional().catch(undefined),
})

/** The year so far against its target. @throws {Refusal} village-not-found */
export async function progressPage({ scope, query }: Visit): Promise<DistrictPage> {
  const asked = progressQuery.parse(query)
  const thisYear = civilDate(scope.today).year
  const year = asked.year ?? thisYear
  const village = asked.village === undefined ? null : villageIn(scope, asked.village)
  const progress = await yearProgress(scope, { year, villageId: village?.id ?? null })
  const place = village?.name ?? scope.district.name
  const years = Array.from({ length: YEARS }, (_, back) => String(thisYear - back))
  const body = html`<h1>Progress in ${year}: ${place}</h1>
    <p class="about">
      Doses on record, added up month by month. The dashed line is where they must stand for everyone to be
      reached by December; the gap between the other two is dropout.
    </p>
    <form class="choices" method="get">
      ${selectField(
        { id: 'year', label: 'Year' },
        years.map((value) => ({ value, name: value })),
        String(year),
      )}
      ${selectField(
        { id: 'village', label: 'Place' },
        [
          { value: '', name: 'the whole district' },
          ...scope.villages.map(({ id, name }) => ({ value: id, name })),
        ],
        village?.id ?? '',
      )}
      <button>Show</button>
    </form>
    ${chart(progress, place)} ${table(progress)}
    <p>
      <a href="${pathIn(scope.district.id, `/months/${monthName(addDays(firstOfMonth(scope.today), -1))}`)}"
        >The last month on one page</a
      >
    </p>`
  return { title: `Progress in ${year}`, way: 'Progress', body }
}

function chart({ year, first, last, target }: Progress, place: string): Markup {
  const reached = first.children.at(-1) ?? 0
  const finished = last.children.at(-1) ?? 0
  const expected = target?.[first.children.length - 1]
  const names = { first: doseName(first), last: doseName(last) }
  return html`<figure class="wide">
    ${progressChart({
      id: 'progress-chart',
      title: `Progress in ${year}, ${place}`,
      description: `So far ${names.first}: ${reached}, ${names.last}: ${finished}, target by now: ${expected === undefined ? 'none stated' : expected.toFixed(0)}.`,
      months: MONTHS,
      first: first.children,
      last: last.children,
      names,
      target,
    })}
  </figure>`
}

function table({ first, last, target }: Progress): Markup {
  return html`<div ${SCROLLING}>
    <table>
      <caption>
        By the end of each month.
      </caption>
      <thead>
        <tr>
          <th scope="col">Month</th>
          <th scope="col" class="number">Target</th>
          <th scope="col" class="number">${doseName(first)}</th>
          <th scope="col" class="number">${doseName(last)}</th>
          <th scope="col" class="number">Dropout</th>
        </tr>
      </thead>
      <tbody>
        ${first.children.map(
          (reached, month) =>
            html`<tr>
              <th scope="row">${MONTHS[month]}</th>
              <td class="number">${targetText({ denominator: target?.[month] ?? null })}</td>
              <td class="number">${reached}</td>
              <td class="number">${last.children[month]}</td>
              <td class="number">${reached - (last.children[month] ?? 0)}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}
