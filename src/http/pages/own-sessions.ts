/** Where a visitor is signed in, and the end of any of it. */
import { endOwnSession, ownSessions } from '../../app/pages/page-session.ts'
import { html } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { timeText } from './words.ts'

const PATH = '/own-sessions'

export async function ownSessionsPage(visit: Visit): Promise<DistrictPage> {
  const { deps, district } = visit.scope
  const sessions = await ownSessions(deps, visit.visitor)
  const body = html`<h1>Where you are signed in</h1>
    <p class="about">
      End what you do not know or no longer use; a session not used for half an hour is over anyway.
    </p>
    <ul>
      ${sessions.map(({ id, createdAt, seenAt, expiresAt }) =>
        id === visit.visitor.sessionId
          ? html`<li>
              this one, since ${timeText(district, createdAt)}, until ${timeText(district, expiresAt)} at most
            </li>`
          : html`<li>
              since ${timeText(district, createdAt)}, last used ${timeText(district, seenAt)}
              <form method="post" action="${pathIn(district.id, `${PATH}/${id}/end`)}">
                ${formToken(visit)}<button>End the session of ${timeText(district, createdAt)}</button>
              </form>
            </li>`,
      )}
    </ul>`
  return { title: 'Where you are signed in', way: 'Overview', body }
}

/** Ends a session; answers the page to show then. @throws {Refusal} resource-not-found */
export async function endSessionFrom({ scope, visitor, params }: Visit): Promise<string> {
  await endOwnSession(scope.deps, visitor, params['sessionId'] ?? '')
  return pathIn(scope.district.id, PATH)
}
