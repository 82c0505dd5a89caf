/** What waits for a person: words of parents, doubles, numbers that no text reaches. */
import { z } from 'zod'
import { closeReview } from '../../app/pages/close-review.ts'
import type { ReviewItem } from '../../app/pages/data-check.ts'
import { dayAt } from '../../core/days/zoned-time.ts'
import { proven } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

const KINDS: Readonly<Record<ReviewItem['kind'], string>> = {
  double: 'perhaps one child twice',
  'dose-twice': 'perhaps one dose twice',
  'parent-text': "a parent's own words",
  'failing-number': 'a number that no text reaches',
  'other-register': 'another register says otherwise',
  'many-doses': 'more doses in an hour than one person gives',
  'far-places': 'doses at places far apart within an hour',
}

/** Longest waiting first; what has waited too long says so. */
export function waitingList(visit: Visit, items: readonly ReviewItem[]): Markup {
  if (items.length === 0) return html`<p>Nothing.</p>`
  return html`<ul>
    ${items.map((item) => itemLine(visit, item))}
  </ul>`
}

function itemLine(
  visit: Visit,
  { id, kind, childId, otherChildId, words, note, createdAt }: ReviewItem,
): Markup {
  const { district, deps, today } = visit.scope
  const since = dayAt(createdAt, district.timeZone)
  const isLate = today - since > deps.shelf.indicators.answerWithinDays
  const said = [words, note].filter((text) => text !== null)
  return html`<li>
    ${KINDS[kind]}${said.length === 0 ? null : html`: ${said.join('; ')}`} (${dayText(district, since)})
    ${isLate ? html`<strong class="flag">waits for ${today - since} days</strong>` : null}
    ${[childId, otherChildId]
      .filter((child) => child !== null)
      .map((child) => html` <a href="${pathIn(district.id, `/children/${child}`)}">child</a>`)}
    ${kind === 'double' || kind === 'dose-twice' ? html`· <a href="${pathIn(district.id, `/doubles/${id}`)}">compare</a>` : closingForm(visit, id)}
  </li>`
}

function closingForm(visit: Visit, itemId: string): Markup {
  return html`<details class="screen-only">
    <summary>Done</summary>
    <form method="post" action="${pathIn(visit.scope.district.id, `/waiting/${itemId}/done`)}">
      ${formToken(visit)}
      <input name="outcome" maxlength="200" required placeholder="what was done" aria-label="What was done" />
      <button>Save</button>
    </form>
  </details>`
}

const closingFields = z.object({ outcome: z.string().trim().min(1).max(200) })

/** Notes what was done; answers the page to show then. @throws {Refusal} review-item-not-found */
export async function noteReviewed({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  await closeReview(scope, visitor, { itemId: params['itemId'] ?? '', ...proven(closingFields, sent) })
  return `${pathIn(scope.district.id, '/data-check')}#waiting`
}
