import { z } from 'zod'
import { prepareRecall, sendRecall, viewRecall } from '../../app/reactions/recall.ts'
import type { RecallPlan } from '../../app/reactions/recall.ts'
import { traceLot } from '../../app/reactions/trace-lot.ts'
import type { LotTrace } from '../../app/reactions/trace-lot.ts'
import { listRecallsOf } from '../../app/views.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import { Refusal } from '../../core/refusals.ts'
import { exposedTable } from './exposed.ts'
import { proven } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { timeText } from './words.ts'

/** Who received a lot, and recalls of it. */
export async function lotPage(visit: Visit): Promise<DistrictPage> {
  const { scope, params, visitor } = visit
  const { db, deps, district } = scope
  const asked = { districtId: district.id, lot: params['lot'] ?? '', by: visitor.holderId }
  const trace = await traceLot(db, deps, asked)
  const recalls = await listRecallsOf(db, district.id, trace.lot)
  const body = html`<h1>Lot ${trace.lot}</h1>
    <p class="about">
      Doses of this lot that are on record here, by the vial they were drawn from. Doses without a known vial
      are not among them.
    </p>
    ${doses(visit, trace)}
    <h2>Recall</h2>
    <ul>
      ${recalls.map(
        ({ id, reason, preparedAt, confirmedAt, confirmedBy }) =>
          html`<li>
            <a href="${pathIn(district.id, `/recalls/${id}`)}">${timeText(district, preparedAt)}</a>:
            ${reason} (${confirmedAt === null ? 'not sent' : `sent, confirmed by ${confirmedBy ?? ''}`})
          </li>`,
      )}
    </ul>
    <form
      class="choices screen-only"
      method="post"
      action="${pathIn(district.id, `/lots/${encodeURIComponent(trace.lot)}/recall`)}"
    >
      ${formToken(visit)}
      <label>Why <input name="reason" maxlength="200" required /></label>
      <button>Prepare a recall</button>
    </form>`
  return { title: `Lot ${trace.lot}`, way: 'Vials', body }
}

function doses(visit: Visit, trace: LotTrace): Markup {
  if (trace.doses.length === 0) return html`<p>No dose of this lot is on record.</p>`
  return exposedTable(visit, `${trace.vials.length} vials, ${trace.doses.length} doses`, trace.doses)
}

/** One recall: whom it would reach, and the button that sends it. */
export async function recallPage(visit: Visit): Promise<DistrictPage> {
  const plan = await recallIn(visit)
  const { district } = visit.scope
  const { recall, texts, toVisit } = plan
  const body = html`<h1>Recall of lot ${recall.lot}</h1>
    <p class="about">${recall.reason}. Prepared ${timeText(district, recall.preparedAt)}.</p>
    <p>${texts.length} families by text; ${toVisit.length} children to be called or visited.</p>
    ${texts.length === 0 ? null : html`<blockquote>${texts[0]?.body ?? ''}</blockquote>`}
    <ul>
      ${toVisit.map(
        ({ id, name, cardNumber }) =>
          html`<li>
            <a href="${pathIn(district.id, `/children/${id}`)}">${name}</a> ${formatCardNumber(cardNumber)}
          </li>`,
      )}
    </ul>
    ${confirmation(visit, plan)}`
  return { title: `Recall of lot ${recall.lot}`, way: 'Vials', body }
}

function confirmation(visit: Visit, { recall, texts }: RecallPlan): Markup {
  const { district } = visit.scope
  if (recall.confirmedAt !== null)
    return html`<p>
      Confirmed by ${recall.confirmedBy ?? ''}, ${timeText(district, recall.confirmedAt)}:
      ${recall.sentTexts ?? 0} texts.
    </p>`
  return html`<form method="post" action="${pathIn(district.id, `/recalls/${recall.id}/send`)}">
    ${formToken(visit)}<button>Confirm and send ${texts.length} texts</button>
  </form>`
}

/** A recall of the visitor's own district. @throws {Refusal} recall-not-found */
async function recallIn({ scope, params }: Visit): Promise<RecallPlan> {
  const plan = await viewRecall(scope.db, scope.deps, params['recallId'] ?? '')
  if (plan.recall.districtId === scope.district.id) return plan
  throw new Refusal('recall-not-found', `${scope.district.name} has no such recall.`)
}

const wishFields = z.object({ reason: z.string().trim().min(1).max(200) })

/** Prepares a recall; answers its page. */
export async function noteRecall({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const { deps, district } = scope
  const wish = { ...proven(wishFields, sent), lot: params['lot'] ?? '', vaccine: null, by: visitor.name }
  const { recall } = await deps.database.transaction((tx) =>
    prepareRecall(tx, deps, { ...wish, districtId: district.id }),
  )
  return pathIn(district.id, `/recalls/${recall.id}`)
}

/** Sends a recall that a manager has confirmed; answers its page. */
export async function confirmRecall(visit: Visit): Promise<string> {
  const { recall } = await recallIn(visit)
  const { deps, district } = visit.scope
  await deps.database.transaction((tx) => sendRecall(tx, deps, { id: recall.id, by: visit.visitor.name }))
  return pathIn(district.id, `/recalls/${recall.id}`)
}
