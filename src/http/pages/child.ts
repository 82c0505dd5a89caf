import { childStory } from '../../app/pages/child-story.ts'
import type { ChildStory } from '../../app/pages/child-story.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import { dayAt } from '../../core/days/zoned-time.ts'
import type { Appointment, Child } from '../../core/model.ts'
import type { NextDose } from '../../core/schedule/forecast-types.ts'
import { ageInWords } from '../../core/schedule/visit-plan.ts'
import { decisionsOfChild } from './decisions.ts'
import { flagForm } from './doubles.ts'
import { doseReason } from './dose-reason.ts'
import { privacyForms } from './privacy.ts'
import { html, SCROLLING, trusted } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import { moveDoseForm } from './move-dose.ts'
import { outcomeForm } from './outcome.ts'
import type { Visit } from './visit.ts'
import { dayText, originText } from './words.ts'

/** One child: doses with what they count for and why, the visit to come, what can be done. */
export async function childPage(visit: Visit): Promise<DistrictPage> {
  const { scope, params } = visit
  const story = await childStory(scope, params['childId'] ?? '')
  const { child, village, schedule } = story
  const body = html`<h1>${child.name}</h1>
    <p class="about">
      Card ${formatCardNumber(child.cardNumber)} · ${child.sex ?? 'sex not recorded'} · born
      ${dayText(scope.district, child.birthOn)}${child.isBirthEstimated ? ' (estimated)' : ''},
      ${ageInWords(child.birthOn, scope.today)} old ·
      <a href="${pathIn(scope.district.id, `/villages/${village.id}`)}">${village.name}</a> ·
      <a href="${pathIn(scope.district.id, `/children/${child.id}/card`)}">card to print</a> ·
      <a href="${pathIn(scope.district.id, `/children/${child.id}/record`)}">who got what</a><br />
      On the register since ${dayText(scope.district, child.enrolledOn)}, ${originText(child.enrolledVia)}
    </p>
    ${statusOf(visit, story)} ${contact(story)} ${familyOf(visit, story)} ${siblings(visit, story)}
    ${outcomeForm(visit, { childId: child.id, name: child.name })} ${flagForm(visit, child.id)}
    ${privacyForms(visit, child)}
    <figure class="wide scroll" tabindex="0">${trusted(story.timeline)}</figure>
    <h2>Doses on record</h2>
    ${dosesTable(visit, story)}
    <h2>Doses to come</h2>
    ${nextTable(visit, story)} ${decisionsOfChild(visit, story)}
    <h2>Visits</h2>
    ${visits(visit, story.appointments)}
    <p class="about">By ${schedule.title}. ${schedule.notice}</p>`
  return { title: child.name, way: 'Find and follow', body }
}

function statusOf({ scope }: Visit, { child }: ChildStory): Markup | null {
  const { status, statusOn, statusReason } = child
  if (status === 'active' && statusReason === null) return null
  const since = statusOn === null ? '' : `, ${dayText(scope.district, statusOn)}`
  return html`<p class="warning">
    <strong>${status === 'active' ? 'followed' : status}</strong
    >${since}${statusReason === null ? '' : `: ${statusReason}`}
  </p>`
}

function contact({ lines }: ChildStory): Markup {
  if (lines.length === 0) return html`<p>No phone is known.</p>`
  return html`<p>
    Phone:
    ${lines.map(({ number, language, stoppedAt }) => `${number} (${language}${stoppedAt === null ? '' : ', wants no texts'})`).join(', ')}
  </p>`
}

/** Where the family is found, and what no longer holds. */
function familyOf(
  { scope: { district } }: Visit,
  { family: { phones, addresses } }: ChildStory,
): Markup | null {
  const now = addresses.filter(({ until }) => until === null)
  const before = [
    ...phones.map(({ number, until }) => ({ what: number, until })),
    ...addresses.map(({ address, until }) => ({ what: address, until })),
  ].flatMap(({ what, until }) =>
    until === null ? [] : [`${what} (until ${dayText(district, dayAt(until, district.timeZone))})`],
  )
  if (now.length + before.length === 0) return null
  return html`<p>
    ${now.length === 0 ? null : html`Found at: ${now.map(({ address }) => address).join('; ')}.`}
    ${before.length === 0 ? null : html`Before: ${before.join('; ')}.`}
  </p>`
}

/** Children of one birth in the order of birth, then those of the same phone. */
function siblings({ scope }: Visit, { child, siblings: all }: ChildStory): Markup | null {
  if (all.length === 0) return null
  const isOfOneBirth = (other: Child): boolean =>
    child.birthGroup !== null && other.birthGroup === child.birthGroup
  const link = (other: Child): Markup =>
    html`<a href="${pathIn(scope.district.id, `/children/${other.id}`)}">${other.name}</a>`
  const listed = (some: readonly Child[]): readonly Markup[] =>
    some.map((other, place) => html`${place === 0 ? '' : ', '}${link(other)}`)
  const [ofOneBirth, others] = [all.filter(isOfOneBirth), all.filter((other) => !isOfOneBirth(other))]
  return html`<p>
    ${
      ofOneBirth.length === 0
        ? null
        : html`Of one birth, born as number ${child.birthOrder ?? ''} of ${ofOneBirth.length + 1}, with
          ${listed(ofOneBirth)}.`
    }
    ${others.length === 0 ? null : html`Of the same phone: ${listed(others)}.`}
  </p>`
}

function dosesTable(visit: Visit, story: ChildStory): Markup {
  const { doses, explanation, otherDoses } = story
  if (doses.length + otherDoses.length === 0) return html`<p>None.</p>`
  const told = (on: Parameters<typeof dayText>[1]): string => dayText(visit.scope.district, on)
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">Given on</th>
          <th scope="col">Vaccine</th>
          <th scope="col">What it counts for, and why</th>
          <th scope="col">How it came</th>
        </tr>
      </thead>
      <tbody>
        ${doses.map(
          ({ id, givenOn, vaccine, recordedVia }, place) =>
            html`<tr>
              <td>${told(givenOn)}</td>
              <th scope="row">${vaccine}</th>
              <td>
                ${(explanation.given[place] ?? []).map((line) => html`<div>${line}</div>`)}
                ${doseReason(visit, story, place)} ${moveDoseForm(visit, { id, vaccine })}
              </td>
              <td>${originText(recordedVia)}</td>
            </tr>`,
        )}
        ${otherDoses.map(
          ({ givenOn, vaccine, voidReason, voidedAt, recordedVia }) =>
            html`<tr>
              <td>${told(givenOn)}</td>
              <th scope="row">${vaccine}</th>
              <td>${voidedAt === null ? 'of a campaign: not numbered' : `withdrawn: ${voidReason ?? ''}`}</td>
              <td>${originText(recordedVia)}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}

function nextTable({ scope }: Visit, { forecast, explanation }: ChildStory): Markup {
  if (forecast.next.length === 0) return html`<p>None: every series is finished.</p>`
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">Dose</th>
          <th scope="col">State</th>
          <th scope="col">Due</th>
          <th scope="col">Why then</th>
        </tr>
      </thead>
      <tbody>
        ${forecast.next.map(
          (next, place) =>
            html`<tr>
              <th scope="row">${next.vaccine} ${next.dose}</th>
              <td>${STATES[next.status]}</td>
              <td>${dayText(scope.district, next.due)}</td>
              <td>${explanation.next[place]?.due ?? ''}</td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}

const STATES: Readonly<Record<NextDose['status'], string>> = {
  'not-yet': 'not yet',
  due: 'due',
  overdue: 'late',
  closed: 'too late to give',
}

function visits({ scope }: Visit, appointments: readonly Appointment[]): Markup {
  if (appointments.length === 0) return html`<p>None.</p>`
  return html`<ul>
    ${appointments.map(
      ({ sessionOn, status, doses }) =>
        html`<li>
          ${dayText(scope.district, sessionOn)}: ${status}, for
          ${doses.map(({ vaccine, dose }) => `${vaccine} ${dose}`).join(', ')}
        </li>`,
    )}
  </ul>`
}
