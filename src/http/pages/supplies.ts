import { listHealthPosts } from '../../app/views.ts'
import type { PostStock } from '../../app/supplies/stock-on-hand.ts'
import { needOfPost } from '../../app/supplies/session-need.ts'
import type { PostNeed, VaccineNeed } from '../../app/supplies/session-need.ts'
import { syringesInFigures } from '../../core/supplies/carry-list.ts'
import type { Materials } from '../../core/supplies/carry-list.ts'
import { vialSize } from '../../core/vials/product.ts'
import { ledgerInVials } from '../../core/vials/stock-ledger.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

/** What each post has to carry to its next session, and whether its store holds it. */
export async function suppliesPage(visit: Visit): Promise<DistrictPage> {
  const { db, deps, district } = visit.scope
  const needs: PostNeed[] = []
  for (const post of await listHealthPosts(db, district.id))
    needs.push(await needOfPost(db, deps, { district, post }))
  const body = html`<h1>Supplies</h1>
    <p class="about">
      Children due × attendance × wastage factor ÷ doses per vial, rounded up; low to high by attendance. An
      opened vial that still keeps is carried first. Stock is what the post counted last, less what it opened;
      what is out at a session counts as stock.
    </p>
    ${needs.map((need) => postSection(visit, need))}`
  return { title: 'Supplies', way: 'Supplies', body }
}

function postSection({ scope }: Visit, { post, on, needs, carry, carryOpened, materials }: PostNeed): Markup {
  if (on === null)
    return html`<section>
      <h2>${post.name}</h2>
      <p>Nobody is due within thirty days.</p>
    </section>`
  const isCounted = needs.some(({ ledger }) => ledger !== null)
  return html`<section>
    <h2>${post.name}, ${dayText(scope.district, on)}</h2>
    <p><strong>Carry: ${carry === '' ? 'no closed vial' : carry}</strong>${openedText(carryOpened)}</p>
    <p>${materialsText(materials)}</p>
    <div ${SCROLLING}>
      <table>
        <thead>
          <tr>
            <th scope="col">Vaccine</th>
            <th scope="col" class="number">Due</th>
            <th scope="col" class="number">Vials, low to high</th>
            <th scope="col" class="number">Open</th>
            <th scope="col" class="number">Month</th>
            <th scope="col">Store</th>
            ${isCounted ? LEDGER_HEADS : null}
          </tr>
        </thead>
        <tbody>
          ${needs.map((need) => needRow(need, isCounted))}
        </tbody>
      </table>
    </div>
  </section>`
}

function openedText(numbers: readonly number[]): string {
  return numbers.length === 0 ? '' : `; opened vials to take first: ${numbers.join(', ')}`
}

function materialsText(materials: Materials): string {
  const { syringes, diluents, safetyBoxes } = materials
  return [
    ...(syringes.length === 0 ? [] : [`Syringes: ${syringesInFigures(materials)}.`]),
    ...(diluents === 0 ? [] : [`Diluents, each with a syringe to mix it: ${diluents}.`]),
    ...(safetyBoxes === 0 ? [] : [`Safety boxes: ${safetyBoxes}.`]),
  ].join(' ')
}

function needRow(need: VaccineNeed, isCounted: boolean): Markup {
  const { vaccine, product, due, session, month, openVials, stock, ledger } = need
  const isShort = stock?.level === 'out' || stock?.level === 'short'
  const level = stock === null ? 'never counted' : stock.level
  return html`<tr>
    <th scope="row">${vaccine} (${vialSize(product)})</th>
    <td class="number">${due}</td>
    <td class="number">${session.expected} (${session.low}–${session.high})</td>
    <td class="number">${openVials}</td>
    <td class="number">${month.expected}</td>
    <td>${isShort ? html`<strong class="flag">${level}</strong>` : level}</td>
    ${isCounted ? ledgerCells(ledger) : null}
  </tr>`
}

/** Only where the post counted anything: a row of dashes would hide the rest. */
const LEDGER_HEADS = html`<th scope="col" class="number">In store</th>
  <th scope="col" class="number">Out at a session</th>
  <th scope="col" class="number">Brought in</th>
  <th scope="col" class="number">Thrown away closed</th>
  <th scope="col">At hand by lot</th>`

function ledgerCells(ledger: PostStock | null): readonly Markup[] {
  const vials = ledger === null ? null : ledgerInVials(ledger)
  const figures = [vials?.inStore, vials?.out, vials?.broughtIn, vials?.closedWaste]
  return [
    ...figures.map((figure) => html`<td class="number">${figure ?? '–'}</td>`),
    html`<td>${lotsText(ledger)}</td>`,
  ]
}

/** `L4471B 3, not told 2`; nothing where no lot was told at all. */
function lotsText(ledger: PostStock | null): string {
  const lots = ledger?.lots ?? []
  if (lots.every(({ lot }) => lot === null)) return ''
  return lots.map(({ lot, inStore, out }) => `${lot ?? 'not told'} ${inStore + out}`).join(', ')
}
