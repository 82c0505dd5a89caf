/** Who texts for the programme, and the codes with which they choose a PIN. */
import { makePinCode, peopleWithPins } from '../../app/pins/make-pin-code.ts'
import type { PersonWithPin, PinCode } from '../../app/pins/make-pin-code.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { timeText } from './words.ts'

const STATES: Readonly<Record<PersonWithPin['pin'], string>> = {
  none: 'no PIN',
  'code-made': 'a code is made, no PIN chosen yet',
  chosen: 'PIN chosen',
  locked: 'locked after wrong tries',
}

export function peoplePage(visit: Visit): Promise<DistrictPage> {
  return showPeople(visit, null)
}

/** Makes a code and shows it, this once. @throws {Refusal} person-not-found, not-allowed */
export async function makePinCodeFor(visit: Visit): Promise<DistrictPage> {
  const { deps, district } = visit.scope
  const personId = visit.params['personId'] ?? ''
  const wish = { personId, districtId: district.id, by: visit.visitor.holderId }
  const made = await deps.database.transaction((tx) => makePinCode(tx, deps, wish))
  return showPeople(visit, { ...made, personId })
}

async function showPeople(
  visit: Visit,
  made: (PinCode & { readonly personId: string }) | null,
): Promise<DistrictPage> {
  const { deps, district } = visit.scope
  const people = await peopleWithPins(deps.database.db, deps, district.id)
  const name = people.find(({ id }) => id === made?.personId)?.name
  const asked = district.pinActs.join(', ')
  const body = html`<h1>People</h1>
    ${
      made === null
        ? null
        : html`<p class="warning" role="status">
            The code for ${name} is <strong>${made.code}</strong>, good until
            ${timeText(district, made.until)}. Say it to them in person or by voice; it is not shown again.
          </p>`
    }
    <p class="about">
      ${
        asked === ''
          ? 'This district asks no PIN for texts; its file says for which acts it would (pinActs).'
          : `A PIN is asked for: ${asked}.`
      }
    </p>
    <p><a href="${pathIn(district.id, '/tokens')}">Tokens for the API</a></p>
    <div ${SCROLLING}>
      <table>
        <thead>
          <tr>
            <th scope="col">Name</th>
            <th scope="col">Role</th>
            <th scope="col">Phone</th>
            <th scope="col">PIN</th>
            <th scope="col">New PIN</th>
          </tr>
        </thead>
        <tbody>
          ${people.map((person) => personRow(visit, person))}
        </tbody>
      </table>
    </div>`
  return { title: 'People', way: 'People', body }
}

function personRow(visit: Visit, { id, name, role, phone, pin }: PersonWithPin): Markup {
  const isOwn = id === visit.visitor.holderId
  return html`<tr>
    <th scope="row">${name}</th>
    <td>${role}</td>
    <td>${phone}</td>
    <td>${pin === 'locked' ? html`<strong class="flag">${STATES[pin]}</strong>` : STATES[pin]}</td>
    <td>
      ${
        isOwn
          ? 'by another manager or an officer'
          : html`<form method="post" action="${pathIn(visit.scope.district.id, `/people/${id}/pin-code`)}">
              ${formToken(visit)}<button>Make a code for ${name}</button>
            </form>`
      }
    </td>
  </tr>`
}
