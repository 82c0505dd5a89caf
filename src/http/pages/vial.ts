import { dosesFrom } from '../../app/vials/exposed-doses.ts'
import { vialNow } from '../../app/vials/vial-shelf.ts'
import { getVialTyped } from '../../app/vials/view-vial.ts'
import type { VialNow } from '../../app/vials/vial-shelf.ts'
import { unitsLeft } from '../../core/vials/open-vial.ts'
import { vialSize } from '../../core/vials/product.ts'
import { exposedTable } from './exposed.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText, timeText } from './words.ts'

/** One opened vial, and who had a dose from it. @throws {Refusal} vial-not-found */
export async function vialPage(visit: Visit): Promise<DistrictPage> {
  const { db, deps, district } = visit.scope
  const vial = await getVialTyped(db, district.id, visit.params['number'] ?? '')
  const doses = await dosesFrom(db, district, [vial])
  const title = `Vial ${vial.number}, ${vial.vaccine}`
  const body = html`<h1>${title}</h1>
    ${facts(visit, await vialNow(db, deps.shelf, vial))}
    <h2>Who had a dose from it</h2>
    ${doses.length === 0 ? html`<p>No dose of this vial is on record.</p>` : exposedTable(visit, `${doses.length} doses, in the order in which they were given`, doses)}
    <p class="about">
      “By” an hour: the report came then; the dose was given earlier that day. A dose whose report named no
      vial is not among them, unless this was the only one open.
    </p>`
  return { title, way: 'Vials', body }
}

function facts({ scope: { district } }: Visit, { vial, open }: VialNow): Markup {
  const { lot, maker, expiryOn, openedAt, discardBy, discardedAt, discardReason } = vial
  const lotPath = pathIn(district.id, `/lots/${encodeURIComponent(lot)}`)
  return html`<p>
    ${vialSize(open.product)} doses, lot <a href="${lotPath}">${lot}</a>${maker === null ? '' : `, ${maker}`},
    expires ${dayText(district, expiryOn)}. Opened ${timeText(district, openedAt)};
    ${
      discardedAt === null
        ? `to be discarded by ${timeText(district, discardBy.at)}.`
        : `discarded ${timeText(district, discardedAt)} (${(discardReason ?? '').replaceAll('-', ' ')}).`
    }
    ${unitsLeft(open)} of ${open.product.unitsPerVial} left.
  </p>`
}
