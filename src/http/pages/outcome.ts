import { z } from 'zod'
import { markOutcome, OUTCOMES } from '../../app/pages/mark-outcome.ts'
import type { Outcome } from '../../app/pages/mark-outcome.ts'
import { proven } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { Visit } from './visit.ts'

const WORDS: Readonly<Record<Outcome, string>> = {
  found: 'found, will come',
  moved: 'moved away',
  died: 'died',
  refused: 'family does not want',
  lost: 'not to be found',
}

const outcomeFields = z.object({
  outcome: z.enum(OUTCOMES),
  reason: z.string().trim().max(200).default(''),
})

/** Notes what came of looking for a child, folded away until it is wanted. */
export function outcomeForm(
  visit: Visit,
  { childId, name }: { readonly childId: string; readonly name: string },
): Markup {
  return html`<details class="screen-only">
    <summary aria-label="Note what came of looking for ${name}">Note</summary>
    <form method="post" action="${pathIn(visit.scope.district.id, `/children/${childId}/outcome`)}">
      ${formToken(visit)}
      <select name="outcome" aria-label="What came of it">
        ${OUTCOMES.map((outcome) => html`<option value="${outcome}">${WORDS[outcome]}</option>`)}
      </select>
      <input name="reason" maxlength="200" placeholder="why" aria-label="Why" />
      <button>Save</button>
    </form>
  </details>`
}

/** Notes the outcome that was sent; answers the page to show then. */
export async function noteOutcome({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const childId = params['childId'] ?? ''
  await markOutcome(scope, visitor, { childId, ...proven(outcomeFields, sent) })
  return pathIn(scope.district.id, `/children/${childId}`)
}
