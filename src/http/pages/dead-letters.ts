/** Texts that failed for good and texts that could not be answered: to be mended, sent again or closed. */
import { closeDeadLetter, deadLetters, sendAgain } from '../../app/dead-letters.ts'
import type { FailedText, ParkedText } from '../../app/dead-letters.ts'
import { dayAt } from '../../core/days/zoned-time.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

const PATH = '/dead-letters'

export async function deadLettersPage(visit: Visit): Promise<DistrictPage> {
  const { db, district } = visit.scope
  const { failed, parked } = await deadLetters(db, district.id)
  const body = html`<h1>Texts that failed</h1>
    <p class="about">
      Each was given up for the reason shown. Mend the cause first: a family's number is set at the child. A
      reminder sent again is asked once more whether it still makes sense.
    </p>
    <h2>Not delivered</h2>
    ${
      failed.length === 0
        ? html`<p>None.</p>`
        : html`<ul>
            ${failed.map((text) => failedLine(visit, text))}
          </ul>`
    }
    <h2>Received and not answered</h2>
    ${
      parked.length === 0
        ? html`<p>None.</p>`
        : html`<ul>
            ${parked.map((text) => parkedLine(visit, text))}
          </ul>`
    }`
  return { title: 'Texts that failed', way: 'Texts', body }
}

const ENDS: Readonly<Record<FailedText['status'], string>> = {
  failed: 'refused by the network',
  undelivered: 'did not arrive',
  unknown: 'nobody knows whether it arrived',
}

function failedLine(
  visit: Visit,
  { id, number, purpose, status, reason, childIds, createdAt }: FailedText,
): Markup {
  const { district } = visit.scope
  return html`<li>
    ${number}: ${purpose}, ${ENDS[status]}${reason === null ? null : html` (${reason})`},
    ${dayText(district, dayAt(createdAt, district.timeZone))}
    ${childIds.map((child) => html` <a href="${pathIn(district.id, `/children/${child}`)}">child</a>`)}
    ${deed(visit, id, 'again', 'Send again')} ${deed(visit, id, 'close', 'Close')}
  </li>`
}

function parkedLine(visit: Visit, { id, fromNumber, trouble, tries, receivedAt }: ParkedText): Markup {
  const { district } = visit.scope
  return html`<li>
    from ${fromNumber}, ${dayText(district, dayAt(receivedAt, district.timeZone))}:
    ${tries === 0 ? 'not read' : `${tries} tries failed`}
    (${trouble?.replaceAll('-', ' ') ?? 'no reason kept'}) ${deed(visit, id, 'again', 'Read again')}
  </li>`
}

function deed(visit: Visit, textId: string, act: 'again' | 'close', words: string): Markup {
  return html`<form
    class="screen-only"
    method="post"
    action="${pathIn(visit.scope.district.id, `${PATH}/${textId}/${act}`)}"
  >
    ${formToken(visit)}
    <button>${words}</button>
  </form>`
}

/** Does again what failed; answers the page to show then. @throws {Refusal} message-not-found, text-of-no-use */
export async function sendDeadLetterAgain({ scope, visitor, params }: Visit): Promise<string> {
  const { deps, district } = scope
  await deps.database.transaction((tx) =>
    sendAgain(tx, deps, { districtId: district.id, id: params['textId'] ?? '', by: visitor.holderId }),
  )
  return pathIn(district.id, PATH)
}

/** Takes a text off the list; answers the page to show then. @throws {Refusal} message-not-found */
export async function closeDeadLetterOf({ scope, visitor, params }: Visit): Promise<string> {
  const { deps, district } = scope
  await deps.database.transaction((tx) =>
    closeDeadLetter(tx, deps, { districtId: district.id, id: params['textId'] ?? '', by: visitor.holderId }),
  )
  return pathIn(district.id, PATH)
}
