import { lookedAtDose, vialLists } from '../../app/pages/vial-lists.ts'
import type { DoubtfulDoseOfChild, VialAtPost, VialLists } from '../../app/pages/vial-lists.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import type { VialWaste } from '../../core/supplies/vial-wastage.ts'
import { unitsLeft } from '../../core/vials/open-vial.ts'
import { vialSize } from '../../core/vials/product.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText, nearDayText, timeText } from './words.ts'

/** Opened vials, doses whose vial wants a look, and what was wasted. */
export async function vialsPage(visit: Visit): Promise<DistrictPage> {
  const lists = await vialLists(visit.scope)
  const body = html`<h1>Opened vials</h1>
    <p class="about">
      The national policy and the package insert prevail. No dose is declared invalid here: what is in doubt
      is yours to judge.
    </p>
    ${inUse(visit, lists.inUse)}
    <h2 id="doubtful">Doses to look at</h2>
    ${doubtful(visit, lists.doubtful)} ${withoutVial(visit, lists)}
    <h2>Open-vial wastage</h2>
    ${waste(visit, lists)}`
  return { title: 'Opened vials', way: 'Vials', body }
}

function inUse(visit: Visit, vials: readonly VialAtPost[]): Markup {
  if (vials.length === 0) return html`<p>No vial is open.</p>`
  return html`<div ${SCROLLING}>
    <table>
      <caption>
        Vials in use, those to be discarded first in front.
      </caption>
      <thead>
        <tr>
          <th scope="col">Number</th>
          <th scope="col">Vaccine</th>
          <th scope="col">Lot</th>
          <th scope="col">Post</th>
          <th scope="col">Opened</th>
          <th scope="col">Discard by</th>
          <th scope="col" class="number">Left</th>
        </tr>
      </thead>
      <tbody>
        ${vials.map((each) => vialRow(visit, each))}
      </tbody>
    </table>
  </div>`
}

function vialRow({ scope }: Visit, { vial, open, post, isPast }: VialAtPost): Markup {
  const { number, vaccine, lot, openedAt, discardBy } = vial
  return html`<tr>
    <th scope="row"><a href="${pathIn(scope.district.id, `/vials/${number}`)}">${number}</a></th>
    <td>${vaccine} (${vialSize(open.product)})</td>
    <td><a href="${pathIn(scope.district.id, `/lots/${encodeURIComponent(lot)}`)}">${lot}</a></td>
    <td>${post}</td>
    <td>${timeText(scope.district, openedAt)}</td>
    <td>
      ${timeText(scope.district, discardBy.at)}
      ${isPast ? html`<strong class="flag">past its time</strong>` : null}
    </td>
    <td class="number">${unitsLeft(open)} of ${open.product.unitsPerVial}</td>
  </tr>`
}

const FLAGS: Readonly<Record<string, string>> = {
  'past-time': 'given after the vial’s time was over',
  'other-vaccine': 'the vial holds another vaccine',
  'before-opening': 'given before the vial was opened',
  discarded: 'given after the vial was discarded',
  'used-up': 'the vial held no further dose',
  'vial-unknown': 'no vial has the number that was reported',
}

function doubtful(visit: Visit, doses: readonly DoubtfulDoseOfChild[]): Markup {
  if (doses.length === 0) return html`<p>None.</p>`
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">Child</th>
          <th scope="col">Dose</th>
          <th scope="col">Given</th>
          <th scope="col">Vial</th>
          <th scope="col">Why</th>
          <th scope="col" class="screen-only">Looked at</th>
        </tr>
      </thead>
      <tbody>
        ${doses.map((dose) => doseRow(visit, dose))}
      </tbody>
    </table>
  </div>`
}

function doseRow(visit: Visit, dose: DoubtfulDoseOfChild): Markup {
  const { district, today } = visit.scope
  const { doseId, childId, cardNumber, name, vaccine, givenOn, vialNumber, flags } = dose
  return html`<tr>
    <th scope="row">
      <a href="${pathIn(district.id, `/children/${childId}`)}">${name}</a> ${formatCardNumber(cardNumber)}
    </th>
    <td>${vaccine}</td>
    <td>${nearDayText(district, givenOn, today)}</td>
    <td>
      ${vialNumber === null ? 'not known' : html`<a href="${pathIn(district.id, `/vials/${vialNumber}`)}">${vialNumber}</a>`}
    </td>
    <td>${flags.flatMap((flag) => FLAGS[flag] ?? []).join('; ')}</td>
    <td class="screen-only">
      <form method="post" action="${pathIn(district.id, `/doses/${doseId}/looked-at`)}">
        ${formToken(visit)}<button aria-label="Looked at ${vaccine} of ${name}">Looked at</button>
      </form>
    </td>
  </tr>`
}

function withoutVial({ scope }: Visit, lists: VialLists): Markup | null {
  if (lists.withoutVial.length === 0) return null
  const counts = lists.withoutVial.map(({ vaccine, doses }) => `${vaccine} ${doses}`)
  return html`<p class="about">
    Doses without a known vial since ${dayText(scope.district, lists.withoutVialFrom)}: ${counts.join(', ')}.
  </p>`
}

function waste({ scope }: Visit, lists: VialLists): Markup {
  if (lists.waste.length === 0) return html`<p>No opened vial is over yet.</p>`
  return html`<div ${SCROLLING}>
    <table>
      <caption>
        Vials opened since ${dayText(scope.district, lists.wasteFrom)} that are over, counted in the smallest
        dose of the vial. This rate and that of closed vials have different denominators and are never added.
      </caption>
      <thead>
        <tr>
          <th scope="col">Vaccine</th>
          <th scope="col" class="number">Vials</th>
          <th scope="col" class="number">Held</th>
          <th scope="col" class="number">Given</th>
          <th scope="col" class="number">Wasted</th>
        </tr>
      </thead>
      <tbody>
        ${lists.waste.map(wasteRow)}
      </tbody>
    </table>
  </div>`
}

function wasteRow({ vaccine, vials, heldUnits, givenUnits, wastage }: VialWaste): Markup {
  const percent = wastage.percent === null ? '–' : `${wastage.percent.toFixed(1)} %`
  return html`<tr>
    <th scope="row">${vaccine}</th>
    <td class="number">${vials}</td>
    <td class="number">${heldUnits}</td>
    <td class="number">${givenUnits}</td>
    <td class="number">
      ${percent} ${wastage.isDataError ? html`<strong class="flag">cannot be</strong>` : null}
    </td>
  </tr>`
}

/** Notes that a dose was looked at; answers the page to show then. */
export async function noteLookedAt({ scope, visitor, params }: Visit): Promise<string> {
  await lookedAtDose(scope, visitor, params['doseId'] ?? '')
  return pathIn(scope.district.id, '/vials#doubtful')
}
