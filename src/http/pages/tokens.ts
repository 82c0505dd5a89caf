/** Tokens of a district: who holds which, and new ones for lower roles. */
import { z } from 'zod'
import { giveToken, takeTokenBack, tokensOf } from '../../app/give-token.ts'
import type { GivenToken } from '../../app/give-token.ts'
import type { KeptToken } from '../../app/tokens.ts'
import { isBelow } from '../../core/rights/may-give.ts'
import { TOKEN_ROLES } from '../../core/rights/token-role.ts'
import { proven } from './guard.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { timeText } from './words.ts'

const PATH = '/tokens'
const DAYS = 365

export function tokensPage(visit: Visit): Promise<DistrictPage> {
  return showTokens(visit, null)
}

const fields = z.object({ name: z.string().trim().min(1).max(100), role: z.enum(TOKEN_ROLES) })

/** Makes a token and shows its secret, this once. @throws {Refusal} input-invalid, not-allowed */
export async function makeTokenFrom(visit: Visit, sent: unknown): Promise<DistrictPage> {
  const { deps, district } = visit.scope
  const gift = { giver: visitorAs(visit), districtId: district.id, days: DAYS, ...proven(fields, sent) }
  return showTokens(visit, await deps.database.transaction((tx) => giveToken(tx, deps, gift)))
}

/** Ends a token; answers the page to show then. @throws {Refusal} resource-not-found, not-allowed */
export async function endTokenOf(visit: Visit): Promise<string> {
  const { deps, district } = visit.scope
  const tokenId = visit.params['tokenId'] ?? ''
  const end = { ender: visitorAs(visit), districtId: district.id, tokenId }
  await deps.database.transaction((tx) => takeTokenBack(tx, deps, end))
  return pathIn(district.id, PATH)
}

/** Whoever acts on a page stands in the record by identifier. */
function visitorAs({ visitor }: Visit) {
  const { role, districtId, expiresAt, holderId } = visitor
  return { role, districtId, expiresAt, name: holderId }
}

async function showTokens(visit: Visit, made: GivenToken | null): Promise<DistrictPage> {
  const { deps, district } = visit.scope
  const tokens = await tokensOf(deps.database.db, district.id)
  const body = html`<h1>Tokens</h1>
    ${
      made === null
        ? null
        : html`<p class="warning" role="status">
            The new token is <code>${made.secret}</code>, good until ${timeText(district, made.expiresAt)}.
            Keep it like a key; it is not shown again.
          </p>`
    }
    <p class="about">With a token a program or a person calls the API in this district.</p>
    ${newTokenForm(visit)}
    <div ${SCROLLING}>
      <table>
        <thead>
          <tr>
            <th scope="col">Name</th>
            <th scope="col">Role</th>
            <th scope="col">Last used</th>
            <th scope="col">Ends</th>
            <th scope="col">End it</th>
          </tr>
        </thead>
        <tbody>
          ${tokens.map((token) => tokenRow(visit, token))}
        </tbody>
      </table>
    </div>`
  return { title: 'Tokens', way: 'People', body }
}

function newTokenForm(visit: Visit): Markup {
  const roles = TOKEN_ROLES.filter((role) => isBelow(role, visit.visitor.role))
  return html`<form method="post" action="${pathIn(visit.scope.district.id, PATH)}">
    ${formToken(visit)}
    <label>For whom or what <input name="name" maxlength="100" required /></label>
    <label
      >Role
      <select name="role">
        ${roles.map((role) => html`<option>${role}</option>`)}
      </select></label
    >
    <button>Make a token</button>
  </form>`
}

function tokenRow(visit: Visit, token: KeptToken): Markup {
  const { district, now } = visit.scope
  const { id, name, role, lastUsedAt, expiresAt, revokedAt } = token
  const isOver = revokedAt !== null || (expiresAt !== null && expiresAt <= now)
  return html`<tr>
    <th scope="row">${name}</th>
    <td>${role}</td>
    <td>${lastUsedAt === null ? 'never' : timeText(district, lastUsedAt)}</td>
    <td>
      ${revokedAt === null ? null : 'ended early'}
      ${expiresAt === null ? 'does not end' : timeText(district, expiresAt)}
    </td>
    <td>
      ${
        isOver || !isBelow(role, visit.visitor.role)
          ? null
          : html`<form method="post" action="${pathIn(district.id, `${PATH}/${id}/end`)}">
              ${formToken(visit)}<button>End ${name}</button>
            </form>`
      }
    </td>
  </tr>`
}
