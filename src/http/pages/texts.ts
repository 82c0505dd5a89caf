import { adviceOf } from '../../app/sign-advice.ts'
import type { Advice } from '../../app/sign-advice.ts'
import { spendingReport } from '../../app/spending.ts'
import type { SpendingReport } from '../../app/spending.ts'
import { addedTexts, textFigures } from '../../app/pages/text-figures.ts'
import type { TextCount, TextFigures } from '../../app/pages/text-figures.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'

/** What the texts took and whether they arrive. */
export async function textsPage({ scope }: Visit): Promise<DistrictPage> {
  const figures = await textFigures(scope)
  const spent = await spendingReport(scope.db, scope.deps, scope.district, null)
  const sent = addedTexts(figures.byPurpose)
  const body = html`<h1>Texts</h1>
    <p class="about">
      Of the last ${figures.days} days. Networks charge by the part: a text of plain letters takes one part up
      to 160 signs, one with other letters up to 70.
    </p>
    <dl class="figures">
      <div>
        <dt>Sent</dt>
        <dd class="value">${sent.texts}</dd>
        <dd>texts</dd>
      </div>
      <div>
        <dt>Charged</dt>
        <dd class="value">${sent.parts}</dd>
        <dd>parts</dd>
      </div>
      <div>
        <dt>For a child</dt>
        <dd class="value">${figures.partsAChildYear === null ? '–' : figures.partsAChildYear.toFixed(1)}</dd>
        <dd>parts a year, reminders and advice</dd>
      </div>
      <div>
        <dt>Not left yet</dt>
        <dd class="value">${figures.waiting}</dd>
        <dd>texts whose time has come</dd>
      </div>
      <div>
        <dt>Arrived</dt>
        <dd class="value">${share(sent)}</dd>
        <dd>${sent.delivered} texts, by the network's word</dd>
      </div>
      <div>
        <dt>Lost</dt>
        <dd class="value">${sent.lost}</dd>
        <dd><a href="${pathIn(scope.district.id, '/dead-letters')}">texts that failed</a></dd>
      </div>
    </dl>
    ${budgetWarning(spent)}
    <div class="side-by-side">
      <section>
        <h2>About children, by village</h2>
        ${villageTable(scope.district.id, figures)}
        <h2>This month, by village and operator</h2>
        ${spendingTable(spent)}
      </section>
      <section>
        <h2>By purpose</h2>
        ${purposeTable(figures)}
        <h2>Received</h2>
        ${receivedTable(figures)}
        <h2>Advice after vaccines</h2>
        ${adviceTable(await adviceOf(scope.db, scope.deps, scope.district))}
      </section>
    </div>`
  return { title: 'Texts', way: 'Texts', body }
}

/** Which wording of the advice a clinician of the district stands for. */
function adviceTable(advice: readonly Advice[]): Markup {
  return html`<table>
    <thead>
      <tr>
        <th scope="col">Language</th>
        <th scope="col">Version</th>
        <th scope="col">Signed by a clinician</th>
      </tr>
    </thead>
    <tbody>
      ${advice.map(
        ({ language, version, signed }) =>
          html`<tr>
            <th scope="row">${language}</th>
            <td>${version}</td>
            <td>${signed === null ? 'not yet' : `${signed.signedBy}, ${signed.signedOn}`}</td>
          </tr>`,
      )}
    </tbody>
  </table>`
}

/** Said once the share that the district set is reached. */
function budgetWarning({ budget }: SpendingReport): Markup | null {
  if (!budget.isWarned || budget.share === null || budget.partsPerMonth === null) return null
  return html`<p class="warning">
    ${(100 * budget.share).toFixed(0)} % of this month's ${budget.partsPerMonth} parts are used. Reminders are
    left out as the budget runs out; replies and alerts never are.
  </p>`
}

function spendingTable({ rows, currency }: SpendingReport): Markup {
  if (rows.length === 0) return html`<p>None.</p>`
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">Village</th>
          <th scope="col">Operator</th>
          <th scope="col" class="number">Texts</th>
          <th scope="col" class="number">Parts</th>
          <th scope="col" class="number">Cost${currency === 'XXX' ? null : ` (${currency})`}</th>
          <th scope="col" class="number">Arrived</th>
        </tr>
      </thead>
      <tbody>
        ${rows.map(
          ({ village, operator, texts, parts, cost, deliveredPercent }) =>
            html`<tr>
              <th scope="row">${village ?? 'others'}</th>
              <td>${operator ?? 'no price set'}</td>
              <td class="number">${texts}</td>
              <td class="number">${parts}</td>
              <td class="number">${cost.toFixed(2)}</td>
              <td class="number">${deliveredPercent === null ? '–' : `${deliveredPercent.toFixed(1)} %`}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}

function share({ texts, delivered }: TextCount): string {
  return texts === 0 ? '–' : `${((100 * delivered) / texts).toFixed(1)} %`
}

function countCells(count: TextCount): Markup {
  return html`<td class="number">${count.texts}</td>
    <td class="number">${count.parts}</td>
    <td class="number">${share(count)}</td>
    <td class="number">${count.lost}</td>`
}

function countHeads(first: string): Markup {
  return html`<tr>
    <th scope="col">${first}</th>
    <th scope="col" class="number">Texts</th>
    <th scope="col" class="number">Parts</th>
    <th scope="col" class="number">Arrived</th>
    <th scope="col" class="number">Lost</th>
  </tr>`
}

function villageTable(districtId: string, { byVillage }: TextFigures): Markup {
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        ${countHeads('Village')}
      </thead>
      <tbody>
        ${byVillage.map(
          (count) =>
            html`<tr>
              <th scope="row">
                <a href="${pathIn(districtId, `/villages/${count.villageId}`)}">${count.village}</a>
              </th>
              ${countCells(count)}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}

const PURPOSES: Readonly<Record<string, string>> = {
  reminder: 'reminders and advice to families',
  reply: 'replies',
  alert: 'alerts, greetings, sign-in codes',
  list: 'lists',
}

function purposeTable({ byPurpose }: TextFigures): Markup {
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        ${countHeads('Purpose')}
      </thead>
      <tbody>
        ${byPurpose.map(
          (count) =>
            html`<tr>
              <th scope="row">${PURPOSES[count.purpose] ?? count.purpose}</th>
              ${countCells(count)}
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}

function receivedTable({ received }: TextFigures): Markup {
  if (received.length === 0) return html`<p>None.</p>`
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">What came of it</th>
          <th scope="col" class="number">Texts</th>
        </tr>
      </thead>
      <tbody>
        ${received.map(
          ({ problem, texts }) =>
            html`<tr>
              <th scope="row">${problem === null ? 'done as asked' : problem.replaceAll('-', ' ')}</th>
              <td class="number">${texts}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}
