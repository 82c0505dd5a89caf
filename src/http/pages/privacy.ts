import { z } from 'zod'
import { proveOwnChild, changeOwnChild } from '../../app/pages/own-child.ts'
import { barSharing } from '../../app/privacy/bar-sharing.ts'
import { ERASE_ASKERS, ERASE_REASONS, eraseChild } from '../../app/privacy/erase-child.ts'
import type { Child } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { proven } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { Visit } from './visit.ts'

const words = (code: string): string => code.replaceAll('-', ' ')

const options = (codes: readonly string[]): Markup[] =>
  codes.map((code) => html`<option value="${code}">${words(code)}</option>`)

/** What a family may ask for, folded away until it is wanted; only an officer removes a child. */
export function privacyForms(visit: Visit, { id, isSharingBarred }: Child): Markup {
  const to = (deed: string): string => pathIn(visit.scope.district.id, `/children/${id}/${deed}`)
  return html`<details class="screen-only">
    <summary>What the family asks for</summary>
    <form method="post" action="${to('sharing')}">
      ${formToken(visit)}
      <input type="hidden" name="barred" value="${String(!isSharingBarred)}" />
      <p>Other systems are ${isSharingBarred ? 'not told' : 'told'} of this child.</p>
      <select name="askedBy" aria-label="Who asked about sharing">
        ${options(ERASE_ASKERS)}
      </select>
      <button>${isSharingBarred ? 'Allow sharing' : 'Bar sharing'}</button>
    </form>
    ${visit.visitor.role === 'officer' ? eraseForm(visit, to('erase')) : null}
  </details>`
}

function eraseForm(visit: Visit, action: string): Markup {
  return html`<form method="post" action="${action}">
    ${formToken(visit)}
    <p>Remove who this child was: names, phones, words and texts. Figures stay.</p>
    <select name="reason" aria-label="Why it is removed">
      ${options(ERASE_REASONS)}
    </select>
    <select name="askedBy" aria-label="Who asked for the removal">
      ${options(ERASE_ASKERS)}
    </select>
    <label><input type="checkbox" name="sure" value="yes" required /> It cannot be undone</label>
    <button>Remove</button>
  </form>`
}

const sharingFields = z.object({ barred: z.enum(['true', 'false']), askedBy: z.enum(ERASE_ASKERS) })

/** Keeps the family's wish about sharing; answers the page to show then. */
export async function sharingFrom({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const childId = params['childId'] ?? ''
  const { barred, askedBy } = proven(sharingFields, sent)
  await changeOwnChild(scope, childId, (tx) =>
    barSharing(tx, scope.deps, { childId, isBarred: barred === 'true', askedBy, by: visitor.holderId }),
  )
  return pathIn(scope.district.id, `/children/${childId}`)
}

const eraseFields = z.object({
  reason: z.enum(ERASE_REASONS),
  askedBy: z.enum(ERASE_ASKERS),
  sure: z.literal('yes'),
})

/** Removes who the child was; answers the page to show then. @throws {Refusal} not-allowed */
export async function eraseFrom({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const childId = params['childId'] ?? ''
  await proveOwnChild(scope.db, scope.district, childId)
  if (visitor.role !== 'officer')
    throw new Refusal('not-allowed', 'Only a programme officer removes a child; ask one.')
  const { reason, askedBy } = proven(eraseFields, sent)
  await changeOwnChild(scope, childId, (tx) =>
    eraseChild(tx, scope.deps, { childId, reason, askedBy, by: visitor.holderId }),
  )
  return pathIn(scope.district.id, '/find')
}
