import { z } from 'zod'
import { moveDose } from '../../app/move-dose.ts'
import { changeOwnChild, ownerOfDose } from '../../app/pages/own-child.ts'
import type { Dose } from '../../core/model.ts'
import { proven } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { Visit } from './visit.ts'

/** For a dose that was noted for the wrong child: whose it is. */
export function moveDoseForm(visit: Visit, { id, vaccine }: Pick<Dose, 'id' | 'vaccine'>): Markup {
  return html`<details class="screen-only">
    <summary>It was another child's</summary>
    <form method="post" action="${pathIn(visit.scope.district.id, `/doses/${id}/move`)}">
      ${formToken(visit)}
      <input
        name="card"
        maxlength="12"
        inputmode="numeric"
        required
        placeholder="card of that child"
        aria-label="Card of the child that was given ${vaccine}"
      />
      <button>Move ${vaccine} to that child</button>
    </form>
  </details>`
}

const moveFields = z.object({ card: z.string().trim().min(1).max(12) })

/** Moves the dose; answers the page of the child that was given it. */
export async function moveDoseFrom({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const doseId = params['doseId'] ?? ''
  const { card } = proven(moveFields, sent)
  const childId = await ownerOfDose(scope.db, scope.district, doseId)
  let rightId = childId
  await changeOwnChild(scope, childId, async (tx) => {
    rightId = (await moveDose(tx, scope.deps, { doseId, card, by: visitor.holderId })).id
  })
  return pathIn(scope.district.id, `/children/${rightId}`)
}
