import { z } from 'zod'
import { villageIn } from '../../app/pages/district-scope.ts'
import { sheetIn } from '../../app/pages/dose-ladder.ts'
import { childrenByDose } from '../../app/pages/village-children.ts'
import type { ChildByDose } from '../../app/pages/village-children.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import { Refusal } from '../../core/refusals.ts'
import { selectField } from './choices.ts'
import { doseOf, doseParam } from './dose-param.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { ageText, dayText, doseName } from './words.ts'

const HAD = { all: null, yes: true, no: false } as const
const childrenQuery = z.object({
  dose: z.string().catch(''),
  had: z.enum(['all', 'yes', 'no']).catch('all'),
})

/** The names behind a figure: the children of a village with and without a dose. */
export async function villageChildrenPage({ scope, params, query }: Visit): Promise<DistrictPage> {
  const village = villageIn(scope, params['villageId'] ?? '')
  const asked = childrenQuery.parse(query)
  const sheet = await sheetIn(scope)
  const dose = doseOf(sheet, asked.dose) ?? sheet.doses[0]
  if (dose === undefined) throw new Refusal('dose-not-found', 'The schedule has no dose.')
  const { series, dose: number } = dose
  const children = await childrenByDose(scope, village, { series, dose: number, hadIt: HAD[asked.had] })
  const had = children.filter(({ crudeOn }) => crudeOn !== null).length
  const body = html`<h1>${village.name}: ${doseName(dose)}</h1>
    <p class="about">
      Followed children under five. ${children.length} listed, ${had} of them with the dose on record. Doses
      of children who died or left stand in the figures of a period and not here.
    </p>
    <form class="choices" method="get">
      ${selectField(
        { id: 'dose', label: 'Dose' },
        sheet.doses.map((each) => ({ value: doseParam(each), name: doseName(each) })),
        doseParam(dose),
      )}
      ${selectField(
        { id: 'had', label: 'Children' },
        [
          { value: 'all', name: 'all' },
          { value: 'no', name: 'without it' },
          { value: 'yes', name: 'with it' },
        ],
        asked.had,
      )}
      <button>Show</button>
    </form>
    ${childTable(scope, children)}`
  return { title: `${village.name}: ${doseName(dose)}`, way: 'Coverage', body }
}

function childTable({ district, today }: Visit['scope'], children: readonly ChildByDose[]): Markup {
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">Card</th>
          <th scope="col">Child</th>
          <th scope="col">Age</th>
          <th scope="col">On record</th>
          <th scope="col">Counts</th>
        </tr>
      </thead>
      <tbody>
        ${children.map(
          ({ childId, cardNumber, name, birthOn, crudeOn, validOn }) =>
            html`<tr>
              <td class="card">${formatCardNumber(cardNumber)}</td>
              <th scope="row">
                <a href="${pathIn(district.id, `/children/${childId}`)}">${name}</a>
              </th>
              <td>${ageText(birthOn, today)}</td>
              <td>${crudeOn === null ? 'no' : dayText(district, crudeOn)}</td>
              <td>
                ${validOn === null ? (crudeOn === null ? '' : 'not valid') : dayText(district, validOn)}
              </td>
            </tr>`,
        )}
      </tbody>
    </table>
  </div>`
}
