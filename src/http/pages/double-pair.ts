/** Two records that may be of one child, side by side: what each says, what is proposed, what the reviewer decides. */
import type { SideBySide, SideRecord } from '../../app/pages/own-double.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import type { ChosenFact, ProposedMerge } from '../../core/children/proposed-merge.ts'
import { formatMinute } from '../../core/days/clock-time.ts'
import type { Dose } from '../../core/model.ts'
import { doseText, sameDoseChoices } from './double-doses.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

export type Pair = readonly [SideRecord, SideRecord]

/** The whole comparison; a settled pair is shown without anything to choose. */
export function pairBody(
  visit: Visit,
  { item, sameDoses }: SideBySide,
  pair: Pair,
  proposed: ProposedMerge,
): Markup {
  const isOpen = item.closedAt === null && pair.every(({ child }) => child.mergedInto === null)
  const offered = isOpen ? proposed : null
  const table = html`<div ${SCROLLING}>
    <table class="compared">
      <thead>
        <tr>
          <th scope="col">Fact</th>
          ${pair.map(({ child }) => html`<th scope="col">${recordLink(visit, child)}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${staysRow(pair, offered)}
        ${CHOICES.map(({ fact, name, says }) => choiceRow(pair, offered, { fact, name, says: (record) => says(visit, record) }))}
        ${ALSO.map(
          ({ name, says }) =>
            html`<tr>
              <th scope="row">${name}</th>
              ${pair.map((record) => html`<td>${says(visit, record)}</td>`)}
            </tr>`,
        )}
        <tr>
          <th scope="row">Doses</th>
          ${pair.map(({ doses }) => html`<td>${doseList(visit, doses)}</td>`)}
        </tr>
      </tbody>
    </table>
  </div>`
  if (!isOpen) return table
  const action = pathIn(item.districtId, `/doubles/${item.id}`)
  return html`<form method="post" action="${action}/merge">
      ${formToken(visit)} ${table} ${sameDoseChoices(visit, sameDoses)}
      <p class="about">
        Everything else is kept of both: doses, phones, reactions, decisions, numbers, the other name. Both
        cards keep working.
      </p>
      <p>${commentInput('Why they are one child')} <button>Merge into one record</button></p>
    </form>
    <h2>Or are they two children?</h2>
    <form method="post" action="${action}/two">
      ${formToken(visit)}
      <p>
        ${commentInput('Why they are two children')} <button class="quiet">These are two children</button>
      </p>
    </form>`
}

function commentInput(label: string): Markup {
  return html`<input name="comment" maxlength="500" placeholder="why" aria-label="${label}" />`
}

function recordLink({ scope }: Visit, { id, name }: SideRecord['child']): Markup {
  return html`<a href="${pathIn(scope.district.id, `/children/${id}`)}">${name}</a>`
}

interface Fact {
  readonly name: string
  readonly says: (visit: Visit, record: SideRecord) => string
}

const CHOICES: readonly (Fact & { readonly fact: ChosenFact })[] = [
  { fact: 'name', name: 'Name', says: (_, { child }) => child.name },
  { fact: 'sex', name: 'Sex', says: (_, { child }) => child.sex ?? 'not recorded' },
  { fact: 'birth', name: 'Born', says: birthText },
  {
    fact: 'birthWeight',
    name: 'Birth weight',
    says: (_, { child }) =>
      child.birthWeightGrams === null ? 'not recorded' : `${child.birthWeightGrams} g`,
  },
  { fact: 'village', name: 'Village', says: (_, { village }) => village.name },
]

const ALSO: readonly Fact[] = [
  { name: 'Other names', says: (_, { formerNames }) => orNone(formerNames) },
  {
    name: 'Phones',
    says: (_, { lines }) => orNone(lines.map(({ number, language }) => `${number} (${language})`)),
  },
  {
    name: 'Other numbers',
    says: (_, { numbers }) => orNone(numbers.map(({ issuer, number }) => `${number} (${issuer})`)),
  },
  { name: 'Status', says: (_, { child }) => [child.status, child.statusReason].filter(Boolean).join(': ') },
  {
    name: 'Enrolled',
    says: ({ scope }, { child }) => `${dayText(scope.district, child.enrolledOn)}, by ${child.enrolledVia}`,
  },
  {
    name: 'Next visit',
    says: ({ scope }, { appointment }) =>
      appointment === null ? 'none' : dayText(scope.district, appointment.sessionOn),
  },
  {
    name: 'Decided by clinicians',
    says: (_, { decisions }) =>
      orNone(decisions.filter(({ endedOn }) => endedOn === null).map(({ reason }) => reason)),
  },
  { name: 'Texts sent about it', says: (_, { texts }) => String(texts) },
]

function orNone(all: readonly string[]): string {
  return all.length === 0 ? 'none' : all.join(', ')
}

function birthText({ scope }: Visit, { child }: SideRecord): string {
  const { birthOn, birthMinute, isBirthEstimated } = child
  const hour = birthMinute === null ? '' : `, ${formatMinute(birthMinute)}`
  return `${dayText(scope.district, birthOn)}${hour}${isBirthEstimated ? ' (estimated)' : ''}`
}

function doseList({ scope }: Visit, doses: readonly Dose[]): Markup {
  if (doses.length === 0) return html`none`
  return html`<ul>
    ${doses.map((dose) => html`<li>${doseText(scope, dose)}</li>`)}
  </ul>`
}

function staysRow(pair: Pair, proposed: ProposedMerge | null): Markup {
  return html`<tr>
    <th scope="row">
      ${proposed === null ? 'Card' : 'Record that stays, with its card'}${why(proposed?.because)}
    </th>
    ${pair.map(({ child: { id, cardNumber } }) =>
      cell(
        proposed === null
          ? null
          : { name: 'stays', label: 'Record that stays', value: id, isProposed: id === proposed.staysId },
        formatCardNumber(cardNumber),
      ),
    )}
  </tr>`
}

interface ChoiceRow {
  readonly fact: ChosenFact
  readonly name: string
  readonly says: (record: SideRecord) => string
}

/** Where both say the same there is nothing to choose. */
function choiceRow(pair: Pair, proposed: ProposedMerge | null, { fact, name, says }: ChoiceRow): Markup {
  const isOne = says(pair[0]) === says(pair[1])
  const offer = isOne ? undefined : proposed?.facts.find((one) => one.fact === fact)
  return html`<tr>
    <th scope="row">${name}${why(offer?.because)}</th>
    ${pair.map((record) => {
      const value = record.child.id
      return cell(
        offer === undefined ? null : { name: fact, label: name, value, isProposed: value === offer.fromId },
        says(record),
      )
    })}
  </tr>`
}

interface Radio {
  readonly name: string
  readonly label: string
  readonly value: string
  readonly isProposed: boolean
}

function cell(radio: Radio | null, text: string): Markup {
  if (radio === null) return html`<td>${text}</td>`
  const { name, label, value, isProposed } = radio
  return html`<td>
    <label>
      <input
        type="radio"
        name="${name}"
        value="${value}"
        required
        aria-label="${label}: ${text}"
        ${isProposed ? html`checked` : null}
      />
      ${text}
    </label>
  </td>`
}

function why(because: string | undefined): Markup | null {
  return because === undefined ? null : html`<div class="about">proposed: ${because}</div>`
}
