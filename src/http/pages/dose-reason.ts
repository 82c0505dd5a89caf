import { z } from 'zod'
import { giveDoseReason } from '../../app/give-dose-reason.ts'
import type { ChildStory } from '../../app/pages/child-story.ts'
import { changeOwnChild, ownerOfDose } from '../../app/pages/own-child.ts'
import { proven } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { Visit } from './visit.ts'

/** Why a dose that a rule speaks against was given, or a form to say it; nothing for a dose that counts. */
export function doseReason(
  visit: Visit,
  { doses, forecast, reasons }: ChildStory,
  place: number,
): Markup | null {
  const dose = doses[place]
  const counts = forecast.given[place]?.counts ?? []
  if (dose === undefined || !counts.some(({ valid, reason }) => !valid && reason !== null)) return null
  const told = reasons.get(dose.id)
  if (told !== undefined) return html`<div>Given all the same: ${told.reason}</div>`
  return html`<details class="screen-only">
    <summary>Say why it was given</summary>
    <form method="post" action="${pathIn(visit.scope.district.id, `/doses/${dose.id}/reason`)}">
      ${formToken(visit)}
      <input
        name="reason"
        maxlength="300"
        required
        placeholder="why"
        aria-label="Why ${dose.vaccine} was given"
      />
      <button>Save</button>
    </form>
  </details>`
}

const reasonFields = z.object({ reason: z.string().trim().min(1).max(300) })

/** Keeps the reason that was sent; answers the page to show then. */
export async function doseReasonFrom({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const doseId = params['doseId'] ?? ''
  const { reason } = proven(reasonFields, sent)
  const childId = await ownerOfDose(scope.db, scope.district, doseId)
  await changeOwnChild(scope, childId, (tx) =>
    giveDoseReason(tx, scope.deps, { doseId, reason, by: visitor.holderId }),
  )
  return pathIn(scope.district.id, `/children/${childId}`)
}
