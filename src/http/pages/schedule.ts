import { scheduleIn } from '../../app/pages/dose-ladder.ts'
import { scheduleChart } from '../../core/schedule/schedule-chart.ts'
import { html, SCROLLING, trusted } from './html.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

/** The schedule the district is measured by, as a picture. */
export async function schedulePage({ scope }: Visit): Promise<DistrictPage> {
  const schedule = await scheduleIn(scope)
  const { title, version, notice, effectiveOn, sources, vaccines } = schedule
  const body = html`<h1>${title}</h1>
    <p class="about">Version ${version}, in force from ${dayText(scope.district, effectiveOn)}.</p>
    <p class="warning">${notice}</p>
    <figure class="wide scroll" tabindex="0">${trusted(scheduleChart(schedule))}</figure>
    <h2>Vaccines</h2>
    <div ${SCROLLING}>
      <table>
        <thead>
          <tr>
            <th scope="col">Code</th>
            <th scope="col">Vaccine</th>
            <th scope="col">Route</th>
          </tr>
        </thead>
        <tbody>
          ${[...vaccines.values()].map(
            ({ code, name, route }) =>
              html`<tr>
                <th scope="row">${code}</th>
                <td>${name}</td>
                <td>${route}</td>
              </tr>`,
          )}
        </tbody>
      </table>
    </div>
    <h2>Sources</h2>
    <ul>
      ${sources.map((source) => html`<li>${source.title}, ${source.issuer}, ${source.edition}</li>`)}
    </ul>`
  return { title: 'Schedule', way: 'Schedule', body }
}
