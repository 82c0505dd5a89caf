/** Two reports that may be of one dose: which of them stays. */
import type { SideBySide } from '../../app/pages/own-double.ts'
import type { SameDose } from '../../core/children/same-dose.ts'
import { dayAt } from '../../core/days/zoned-time.ts'
import type { Dose } from '../../core/model.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

type Same = SameDose<Dose>

/** Everything on record of a dose, on one line. */
export function doseText({ district }: Visit['scope'], dose: Dose): string {
  const {
    vaccine,
    typedNumber,
    givenOn,
    delivery,
    isElsewhere,
    recordedVia,
    recordedAt,
    voidedAt,
    voidReason,
  } = dose
  return [
    `${vaccine}${typedNumber === null ? '' : ` ${typedNumber}`}, ${dayText(district, givenOn)}`,
    ...(delivery === 'campaign' ? ['of a campaign'] : []),
    ...(isElsewhere ? ['given elsewhere'] : []),
    `told by ${recordedVia} ${dayText(district, dayAt(recordedAt, district.timeZone))}`,
    ...(voidedAt === null ? [] : [`withdrawn: ${voidReason ?? ''}`]),
  ].join(', ')
}

/** Within a merge: for each pair of reports which one is withdrawn, or none where the days differ. */
export function sameDoseChoices(visit: Visit, all: readonly Same[]): Markup | null {
  if (all.length === 0) return null
  return html`<h2>Perhaps one dose, told twice</h2>
    ${all.map(
      ({ keep, drop, because }, place) =>
        html`<fieldset>
          <legend>${keep.vaccine}</legend>
          <p class="about">proposed: ${because}</p>
          ${radio({ name: `drop-${place}`, value: drop.id, isProposed: true }, `Keep ${doseText(visit.scope, keep)}`)}
          ${radio({ name: `drop-${place}`, value: keep.id, isProposed: false }, `Keep ${doseText(visit.scope, drop)}`)}
          ${keep.givenOn === drop.givenOn ? null : radio({ name: `drop-${place}`, value: '', isProposed: false }, 'Both were given')}
        </fieldset>`,
    )}`
}

/** One child's doses in question; a settled pair is shown without anything to choose. */
export function dosePairBody(visit: Visit, { item, records, sameDoses }: SideBySide): Markup {
  const [record] = records
  const doses = (record?.doses ?? []).filter(({ id }) => id === item.doseId || id === item.otherDoseId)
  const [same] = sameDoses
  const action = pathIn(item.districtId, `/doubles/${item.id}`)
  const list = html`<ul>
    ${doses.map((dose) => html`<li>${doseText(visit.scope, dose)}</li>`)}
  </ul>`
  if (item.closedAt !== null) return list
  return html`${list}
    <form method="post" action="${action}/one-dose">
      ${formToken(visit)}
      <fieldset>
        <legend>The report that stays</legend>
        ${same === undefined ? null : html`<p class="about">proposed: ${same.because}</p>`}
        ${doses.map((dose) => radio({ name: 'keep', value: dose.id, isProposed: dose.id === same?.keep.id }, doseText(visit.scope, dose)))}
      </fieldset>
      <p>
        <input name="comment" maxlength="500" placeholder="why" aria-label="Why it is one dose" />
        <button>One dose: withdraw the other report</button>
      </p>
    </form>
    <form method="post" action="${action}/two">
      ${formToken(visit)}
      <p>
        <input name="comment" maxlength="500" placeholder="why" aria-label="Why they are two doses" />
        <button class="quiet">These are two doses</button>
      </p>
    </form>`
}

interface Choice {
  readonly name: string
  readonly value: string
  readonly isProposed: boolean
}

function radio({ name, value, isProposed }: Choice, text: string): Markup {
  return html`<p>
    <label>
      <input type="radio" name="${name}" value="${value}" required ${isProposed ? html`checked` : null} />
      ${text}
    </label>
  </p>`
}
