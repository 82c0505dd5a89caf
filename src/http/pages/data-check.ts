import { dataCheck, PROMPT_DAYS, WATCHED_DAYS } from '../../app/pages/data-check.ts'
import type { DataCheck, OddMonth, PostAtWork } from '../../app/pages/data-check.ts'
import { districtFigures } from '../../app/pages/district-figures.ts'
import { PLAIN_CHOICE } from '../../app/pages/figure-choice.ts'
import type { Promptness } from '../../core/coverage/promptness.ts'
import { civilDate } from '../../core/days/day.ts'
import { closedList, entriesTable, newbornTable } from './entries.ts'
import { figureDoubts } from './doubts.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { waitingList } from './waiting.ts'
import { dayText, doseName } from './words.ts'

/** What to look at before believing a figure. */
export async function dataCheckPage(visit: Visit): Promise<DistrictPage> {
  const { scope } = visit
  const check = await dataCheck(scope)
  const doubts = figureDoubts(await districtFigures(scope, PLAIN_CHOICE))
  const body = html`<h1>Data check</h1>
    <p class="about">Figures that cannot be true as they stand, or want a second look.</p>
    <h2>Coverage and dropout, twelve months</h2>
    ${doubts ?? html`<p>No village is over 100 %, has more last than first doses, or lacks a target.</p>`}
    <h2>Silent posts</h2>
    <p class="about">
      <a href="${pathIn(scope.district.id, '/posts')}">What the record of each post lacks</a>
    </p>
    ${posts(visit, check.posts)}
    <h2>Odd months</h2>
    ${oddMonths(visit, check.oddMonths)}
    <h2>Doses that do not count</h2>
    ${uncounted(visit, check)}
    <h2>Where children get their doses</h2>
    ${flows(check)}
    <h2>How soon it is told, how complete it is</h2>
    ${prompt(check)} ${newbornTable(check.newborns)} ${entriesTable(check.entries)}
    <h2>No longer followed</h2>
    ${closedList(check.closed)}
    <p>
      <a href="${pathIn(scope.district.id, '/doubles')}">Doubles</a>: one child or one dose told twice, what
      was settled, merges to undo.
    </p>
    <h2 id="waiting">Waiting for a person</h2>
    ${waitingList(visit, check.waiting)}`
  return { title: 'Data check', way: 'Data check', body }
}

function posts({ scope }: Visit, all: readonly PostAtWork[]): Markup {
  return html`<div ${SCROLLING}>
    <table>
      <caption>
        Days planned for a post's villages in the last ${WATCHED_DAYS} days, and days on which it reported
        doses.
      </caption>
      <thead>
        <tr>
          <th scope="col">Post</th>
          <th scope="col" class="number">Planned</th>
          <th scope="col" class="number">Held</th>
          <th scope="col" class="number">Unplanned</th>
          <th scope="col">Last heard of</th>
          <th scope="col">Nothing heard on</th>
        </tr>
      </thead>
      <tbody>
        ${all.map(
          ({ post, completion, lastOn }) =>
            html`<tr>
              <th scope="row">${post.name}</th>
              <td class="number">${completion.planned}</td>
              <td class="number">${completion.held}</td>
              <td class="number">${completion.unplanned}</td>
              <td>
                ${lastOn === null ? html`<strong class="flag">silent</strong>` : dayText(scope.district, lastOn)}
              </td>
              <td>${completion.missedOn.map((on) => dayText(scope.district, on)).join(', ')}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}

function oddMonths({ scope }: Visit, months: readonly OddMonth[]): Markup {
  const { outlierDeviations } = scope.deps.shelf.indicators
  if (months.length === 0)
    return html`<p>
      No month of a village lies more than ${outlierDeviations} standard deviations from the mean of its year.
    </p>`
  return html`<ul>
    ${months.map(({ village, villageId, monthOn, children, mean, ...dose }) => {
      const { year, month } = civilDate(monthOn)
      return html`<li>
        <a href="${pathIn(scope.district.id, `/villages/${villageId}`)}">${village}</a>, ${month}/${year}:
        ${children} children had ${doseName(dose)}, ${mean.toFixed(1)} in a usual month.
      </li>`
    })}
  </ul>`
}

function uncounted({ scope }: Visit, { uncounted: rows }: DataCheck): Markup {
  if (rows.length === 0) return html`<p>Every dose given in the last twelve months counts.</p>`
  return html`<ul>
    ${rows.map(
      ({ village, villageId, reason, doses, explained, given }) =>
        html`<li>
          <a href="${pathIn(scope.district.id, `/villages/${villageId}`)}">${village}</a>: ${doses}
          ${reason.replaceAll('-', ' ')} of ${given} given, ${explained} with a reason
        </li>`,
    )}
  </ul>`
}

/** Doses of the last twelve months; a village that loses many to other posts may want a session of its own. */
function flows({ flows: { villages, posts } }: DataCheck): Markup {
  const dropIns = posts.map(({ post, dropIn }) => `${post} ${dropIn}`)
  return html`<div ${SCROLLING}>
      <table>
        <caption>
          Doses of the last twelve months by who gave them.
        </caption>
        <thead>
          <tr>
            <th scope="col">Village</th>
            <th scope="col" class="number">Own post</th>
            <th scope="col" class="number">Another post</th>
            <th scope="col" class="number">Outside the district</th>
            <th scope="col" class="number">Not told</th>
          </tr>
        </thead>
        <tbody>
          ${villages.map(
            ({ village, own, out, elsewhere, unknown }) =>
              html`<tr>
                <th scope="row">${village}</th>
                <td class="number">${own}</td>
                <td class="number">${out}</td>
                <td class="number">${elsewhere}</td>
                <td class="number">${unknown}</td>
              </tr>`,
          )}
        </tbody>
      </table>
    </div>
    <p class="about">
      ${dropIns.length === 0 ? 'No post gave doses to children of other posts.' : `Given to children of other posts: ${dropIns.join(', ')}.`}
    </p>`
}

function prompt({ reports, enrolments }: DataCheck): Markup {
  return html`<p class="about">In the last ${PROMPT_DAYS} days, registers taken over left out.</p>
    <ul>
      <li>${promptText('reports of doses', reports)}</li>
      <li>${promptText('enrolments after birth', enrolments)}</li>
    </ul>`
}

function promptText(what: string, { total, within, medianDays }: Promptness): string {
  if (medianDays === null) return `No ${what}.`
  const shares = within.map(({ limitDays, count }) => `${count} within ${limitDays}`)
  return `${total} ${what}: ${shares.join(', ')} days; the median is ${medianDays}.`
}
