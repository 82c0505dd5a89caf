import { careWords } from '../../app/pages/care-words.ts'
import { childStory } from '../../app/pages/child-story.ts'
import { sourcesOf } from '../../app/vials/view-vial.ts'
import type { ChildStory } from '../../app/pages/child-story.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import type { Day } from '../../core/days/day.ts'
import { cardCode } from './card-code.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

/** The card of a child to print: what it had, what it lacks, and its number for eyes and cameras. */
export async function childCardPage(visit: Visit): Promise<DistrictPage> {
  const { scope, params } = visit
  const story = await childStory(scope, params['childId'] ?? '')
  const { child, village, schedule } = story
  const sources = await sourcesOf(scope.db, scope.deps.shelf, story.doses)
  const lotOf = (doseId: string): string => sources.get(doseId)?.vial.lot ?? ''
  const care = careWords(scope, story.lines)
  const said = (day: Day): string => dayText(scope.district, day)
  const body = html`<section class="paper-card">
    <header>
      <div>
        <h1>${child.name}</h1>
        <p>
          Born ${said(child.birthOn)}${child.isBirthEstimated ? ' (estimated)' : ''} ·
          ${child.sex === null ? '' : `${child.sex} · `}${village.name}, ${village.postName}
        </p>
        <p class="card-number">Card ${formatCardNumber(child.cardNumber)}</p>
      </div>
      ${cardCode(child.cardNumber)}
    </header>
    <table>
      <thead>
        <tr>
          <th scope="col">Vaccine</th>
          <th scope="col">Given on</th>
          <th scope="col">Lot</th>
          <th scope="col">Given by</th>
        </tr>
      </thead>
      <tbody>
        ${givenRows(story, said, lotOf)} ${comingRows(story, said)}
      </tbody>
    </table>
    <p>${nextVisit(story, said)}</p>
    <p lang="${care.language}" dir="auto">${care.words}</p>
    <p class="about">By ${schedule.title}; your national schedule prevails.</p>
    <p class="screen-only">
      <button type="button" data-print hidden>Print the card</button>
      <a href="${pathIn(scope.district.id, `/children/${child.id}`)}">Back to the child</a>
    </p>
  </section>`
  return { title: `Card of ${child.name}`, way: 'Find and follow', body }
}

type Saying = (day: Day) => string

/** Doses as the register has them, those that do not count marked. */
function givenRows(
  { doses, forecast }: ChildStory,
  said: Saying,
  lotOf: (doseId: string) => string,
): readonly Markup[] {
  return doses.map(({ id, vaccine, givenOn }, place) => {
    const counts = forecast.given[place]?.counts ?? []
    const number = counts.find(({ valid }) => valid)?.dose
    return html`<tr>
      <th scope="row">${vaccine} ${number ?? '(does not count)'}</th>
      <td>${said(givenOn)}</td>
      <td>${lotOf(id)}</td>
      <td></td>
    </tr>`
  })
}

/** Room for what comes next, each with the day from which it is asked for. */
function comingRows({ forecast }: ChildStory, said: Saying): readonly Markup[] {
  return forecast.next
    .filter(({ status }) => status !== 'closed')
    .map(
      ({ vaccine, dose, due }) =>
        html`<tr>
          <th scope="row">${vaccine} ${dose}</th>
          <td class="about">from ${said(due)}</td>
          <td></td>
          <td></td>
        </tr>`,
    )
}

function nextVisit({ appointments, village, on }: ChildStory, said: Saying): string {
  const planned = appointments.find(({ status, sessionOn }) => status === 'planned' && sessionOn >= on)
  return planned === undefined
    ? 'No visit is planned now. Please keep the card safe.'
    : `Next visit: ${said(planned.sessionOn)} at ${village.sessionPlace}. Please bring this card.`
}
