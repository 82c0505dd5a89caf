import type { ExposedDose } from '../../app/vials/exposed-doses.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import { formatMinute } from '../../core/days/clock-time.ts'
import type { HourGiven } from '../../core/register/hour-given.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

/** Who had a dose from some vials: child, hour, place and worker. */
export function exposedTable(visit: Visit, caption: string, doses: readonly ExposedDose[]): Markup {
  return html`<div ${SCROLLING}>
    <table>
      <caption>
        ${caption}
      </caption>
      <thead>
        <tr>
          <th scope="col">Child</th>
          <th scope="col">Village</th>
          <th scope="col">Dose</th>
          <th scope="col">Given</th>
          <th scope="col">Post</th>
          <th scope="col">Worker</th>
          <th scope="col">Vial</th>
          <th scope="col">Phone</th>
        </tr>
      </thead>
      <tbody>
        ${doses.map((dose) => doseRow(visit, dose))}
      </tbody>
    </table>
  </div>`
}

function doseRow({ scope: { district } }: Visit, dose: ExposedDose): Markup {
  return html`<tr>
    <th scope="row">
      <a href="${pathIn(district.id, `/children/${dose.childId}`)}">${dose.name}</a>
      ${formatCardNumber(dose.cardNumber)}
    </th>
    <td>${dose.village}</td>
    <td>${dose.vaccine}</td>
    <td>${dayText(district, dose.givenOn)}${hourText(dose.hour)}</td>
    <td>${dose.post ?? ''}</td>
    <td>${dose.worker}</td>
    <td><a href="${pathIn(district.id, `/vials/${dose.vialNumber}`)}">${dose.vialNumber}</a></td>
    <td>${dose.numbers.length === 0 ? 'none' : dose.numbers.join(', ')}</td>
  </tr>`
}

/** The hour as it was told, or that of the report, by which the dose was given. */
function hourText(hour: HourGiven | null): string {
  if (hour === null) return ''
  return `, ${hour.isStated ? '' : 'by '}${formatMinute(hour.minute)}`
}
