import { listSessionDays, sessionList } from '../../app/pages/session-lists.ts'
import type { ExpectedChild, SessionDay, SessionList } from '../../app/pages/session-lists.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import { formatDay, parseDay } from '../../core/days/day.ts'
import type { Village } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { cardCode } from './card-code.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { ageText, dayText } from './words.ts'

/** The session days to come. */
export async function sessionsPage({ scope }: Visit): Promise<DistrictPage> {
  const days = await listSessionDays(scope)
  const body = html`<h1>Sessions</h1>
    <p class="about">The vaccination days of the next four weeks. Open a day for its list to print.</p>
    <div ${SCROLLING}>
      <table>
        <thead>
          <tr>
            <th scope="col">Day</th>
            <th scope="col" class="number">Expected</th>
            <th scope="col">Where</th>
          </tr>
        </thead>
        <tbody>
          ${days.map((day) => dayRow(scope, day))}
        </tbody>
      </table>
    </div>`
  return { title: 'Sessions', way: 'Sessions', body }
}

function dayRow({ district }: Visit['scope'], { on, villages, expected }: SessionDay): Markup {
  return html`<tr>
    <th scope="row">
      <a href="${pathIn(district.id, `/sessions/${formatDay(on)}`)}">${dayText(district, on)}</a>
    </th>
    <td class="number">${expected}</td>
    <td>${placesOf(villages).join('; ')}</td>
  </tr>`
}

/** `Portello for Ashwater, Pontisse`; a session held in the village itself is named once. */
function placesOf(villages: readonly Village[]): readonly string[] {
  const places = new Map<string, string[]>()
  for (const { sessionPlace, name } of villages)
    places.set(sessionPlace, [...(places.get(sessionPlace) ?? []), name])
  return [...places].map(([place, names]) =>
    names.length === 1 && names[0] === place ? place : `${place} for ${names.join(', ')}`,
  )
}

/** One session's tick list. @throws {Refusal} input-invalid for what is no day */
export async function sessionPage({ scope, params }: Visit): Promise<DistrictPage> {
  const on = parseDay(params['day'] ?? '')
  if (on === undefined) throw new Refusal('input-invalid', 'Write the day as 2026-11-24.')
  const list = await sessionList(scope, on)
  const title = `Session of ${dayText(scope.district, on)}`
  const count = list.villages.reduce((sum, { lines }) => sum + lines.length, 0)
  const body = html`<h1>${title}</h1>
    <p class="about">
      ${scope.district.name}. ${count} ${count === 1 ? 'child' : 'children'} expected. A visit missed before
      counts with its new day. Ask every child for the card, and give what the national schedule says.
    </p>
    <p class="screen-only"><button type="button" data-print hidden>Print the list</button></p>
    ${wantedTable(list)}
    ${list.villages.map(
      ({ village, lines }) =>
        html`<section>
          <h2>${village.name} <span class="about">${lines.length}, at ${village.sessionPlace}</span></h2>
          ${tickTable(scope, list, lines)}
        </section>`,
    )}`
  return { title, way: 'Sessions', body }
}

function wantedTable({ wanted }: SessionList): Markup | null {
  if (wanted.length === 0) return null
  return html`<dl class="figures small" aria-label="Children for each vaccine">
    ${wanted.map(
      ({ vaccine, children }) =>
        html`<div>
          <dt>${vaccine}</dt>
          <dd class="value">${children}</dd>
        </div>`,
    )}
  </dl>`
}

function tickTable(
  { district }: Visit['scope'],
  { on }: SessionList,
  children: readonly ExpectedChild[],
): Markup {
  return html`<div ${SCROLLING}>
    <table class="list">
      <thead>
        <tr>
          <th scope="col" class="tick"><span class="for-readers">Came</span></th>
          <th scope="col" class="card">Card</th>
          <th scope="col" class="name">Child</th>
          <th scope="col" class="short">Age</th>
          <th scope="col">Doses</th>
          <th scope="col" class="phone">Phone</th>
          <th scope="col" class="remark">Remark</th>
        </tr>
      </thead>
      <tbody>
        ${children.map(
          ({ childId, cardNumber, name, birthOn, doses, numbers }) =>
            html`<tr>
              <td class="tick"><span class="box"></span></td>
              <td class="card">${formatCardNumber(cardNumber)} ${cardCode(cardNumber)}</td>
              <th scope="row"><a href="${pathIn(district.id, `/children/${childId}`)}">${name}</a></th>
              <td>${ageText(birthOn, on)}</td>
              <td>${doses.map(({ dose, vaccine }) => `${vaccine}\u00A0${dose}`).join(', ')}</td>
              <td>${numbers.length === 0 ? 'none' : numbers.join(', ')}</td>
              <td></td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}
