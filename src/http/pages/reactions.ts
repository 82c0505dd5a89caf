import { z } from 'zod'
import { reactionLists } from '../../app/pages/reaction-lists.ts'
import type { AlertLine, ReactionLists, ReportOfChild } from '../../app/pages/reaction-lists.ts'
import { lineListCsv } from '../../app/reactions/line-list.ts'
import { markAlert } from '../../app/reactions/alerts.ts'
import type { AlertDeed } from '../../app/reactions/alerts.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import type { Child } from '../../core/model.ts'
import type { AlertKind, AlertOnRecord } from '../../core/reactions/reaction.ts'
import type { DownloadedFile } from './download.ts'
import { proven } from './guard.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText, nearDayText, timeText } from './words.ts'

/** Alerts until someone has taken them on, and the reports behind them. */
export async function reactionsPage(visit: Visit): Promise<DistrictPage> {
  const { district } = visit.scope
  const lists = await reactionLists(visit.scope)
  const body = html`<h1>Reactions and alerts</h1>
    <p class="about">
      Nothing here says what caused a reaction, and nothing is a diagnosis. The national guideline prevails.
    </p>
    <h2 id="alerts">Alerts</h2>
    ${alerts(visit, lists.alerts)}
    <h2>Reports</h2>
    <p class="screen-only"><a href="${pathIn(district.id, '/reactions.csv')}">Line list as a file</a></p>
    ${reports(visit, lists.reports)}
    <h2>A year of reports</h2>
    ${figures(visit, lists)}`
  return { title: 'Reactions and alerts', way: 'Reactions', body }
}

const KINDS: Readonly<Record<AlertKind, string>> = {
  reaction: 'serious reaction',
  cluster: 'reactions together',
  'family-words': 'words of a family',
  'cold-chain': 'refrigerator',
  stock: 'too little in store',
}

function alerts(visit: Visit, lines: readonly AlertLine[]): Markup {
  if (lines.length === 0) return html`<p>No alert is open.</p>`
  return html`<div ${SCROLLING}>
    <table>
      <caption>
        Open alerts, newest first. Taking one on stops the climbing only.
      </caption>
      <thead>
        <tr>
          <th scope="col">Number</th>
          <th scope="col">What</th>
          <th scope="col">Where</th>
          <th scope="col">Raised</th>
          <th scope="col">Taken on</th>
          <th scope="col" class="screen-only">Note</th>
        </tr>
      </thead>
      <tbody>
        ${lines.map((line) => alertRow(visit, line))}
      </tbody>
    </table>
  </div>`
}

function alertRow(visit: Visit, { alert, post, child }: AlertLine): Markup {
  const { district } = visit.scope
  const { number, kind, words, raisedAt, acknowledgedAt, acknowledgedBy } = alert
  return html`<tr>
    <th scope="row">${number}</th>
    <td>${KINDS[kind]}: ${words}</td>
    <td>${post} ${child === null ? null : childLink(visit, child)}</td>
    <td>${timeText(district, raisedAt)}</td>
    <td>
      ${acknowledgedAt === null ? html`<strong class="flag">nobody yet</strong>` : `${acknowledgedBy ?? ''}, ${timeText(district, acknowledgedAt)}`}
    </td>
    <td class="screen-only">${marks(visit, alert)}</td>
  </tr>`
}

const DEEDS: readonly { readonly deed: AlertDeed; readonly name: string }[] = [
  { deed: 'acknowledged', name: 'Take on' },
  { deed: 'notified', name: 'Next level told' },
  { deed: 'investigated', name: 'Investigation begun' },
  { deed: 'closed', name: 'Close' },
]

function isLeft({ deed }: { readonly deed: AlertDeed }, alert: AlertOnRecord): boolean {
  const goesFurther = alert.kind === 'reaction' || alert.kind === 'cluster'
  switch (deed) {
    case 'acknowledged':
      return alert.acknowledgedAt === null
    case 'notified':
      return goesFurther && alert.notifiedAt === null
    case 'investigated':
      return goesFurther && alert.investigatedAt === null
    case 'closed':
      return alert.acknowledgedAt !== null
  }
}

function marks(visit: Visit, alert: AlertOnRecord): Markup {
  const path = pathIn(visit.scope.district.id, `/alerts/${alert.id}/mark`)
  return html`<form method="post" action="${path}">
    ${formToken(visit)}
    ${DEEDS.filter((each) => isLeft(each, alert)).map(
      ({ deed, name }) =>
        html`<button name="deed" value="${deed}" aria-label="${name}, alert ${alert.number}">
          ${name}
        </button>`,
    )}
  </form>`
}

function childLink({ scope }: Visit, { id, name, cardNumber }: Child): Markup {
  return html`<a href="${pathIn(scope.district.id, `/children/${id}`)}">${name}</a>
    ${formatCardNumber(cardNumber)}`
}

function reports(visit: Visit, all: readonly ReportOfChild[]): Markup {
  if (all.length === 0) return html`<p>No reaction was reported.</p>`
  const { district, today } = visit.scope
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">Child</th>
          <th scope="col">Began</th>
          <th scope="col">Signs</th>
          <th scope="col">In their words</th>
          <th scope="col">Weight</th>
          <th scope="col">Missing first</th>
        </tr>
      </thead>
      <tbody>
        ${all.map(
          ({ reaction, line, child }) =>
            html`<tr>
              <th scope="row">${child === null ? '' : childLink(visit, child)}</th>
              <td>${nearDayText(district, reaction.reactionOn, today)}</td>
              <td>${reaction.signs.join(', ').replaceAll('-', ' ')}</td>
              <td>${reaction.words}</td>
              <td>
                ${reaction.isSerious ? html`<strong class="flag">serious</strong>` : reaction.route.replace('-', ' ')}
              </td>
              <td>${line.missingCritical.join(', ').replaceAll('-', ' ')}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}

function figures({ scope }: Visit, { byVaccine, rate, from }: ReactionLists): Markup {
  const counts = byVaccine.map(
    ({ vaccine, isSerious, reports: count }) =>
      html`<li>${vaccine}: ${count} ${isSerious ? 'serious' : 'not serious'}</li>`,
  )
  const per =
    rate.per100000 === null
      ? 'No target says how many there should be.'
      : `${rate.per100000.toFixed(1)} reports a year for each 100,000 surviving infants.`
  return html`<p class="about">By the day of vaccination, since ${dayText(scope.district, from)}.</p>
    ${
      counts.length === 0
        ? html`<p>None.</p>`
        : html`<ul>
            ${counts}
          </ul>`
    }
    <p>
      ${per}
      ${rate.isTooLow ? html`<strong class="flag">fewer than 10: reactions go unreported</strong>` : null}
    </p>`
}

/** The line list with the core variables of WHO. */
export async function lineListFile({ scope }: Visit): Promise<DownloadedFile> {
  return {
    name: 'reactions.csv',
    content: await lineListCsv(scope.db, scope.deps, scope.district.id),
  }
}

const deedField = z.object({ deed: z.enum(['acknowledged', 'notified', 'investigated', 'closed']) })

/** Notes what was done about an alert; answers the page to show then. */
export async function noteAlert({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const { deed } = proven(deedField, sent)
  const { deps, district } = scope
  await deps.database.transaction((tx) =>
    markAlert(tx, deps, {
      districtId: district.id,
      alertId: params['alertId'] ?? '',
      deed,
      by: visitor.name,
    }),
  )
  return pathIn(district.id, '/reactions#alerts')
}
