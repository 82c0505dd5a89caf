import { z } from 'zod'
import { fridgeMonths } from '../../app/pages/fridge-month.ts'
import { addMonths, civilDate, dayOf } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { html, trusted } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'

const monthAsked = z.object({ month: z.string().regex(/^\d{4}-\d{2}$/) })

function monthOf({ query, scope }: Visit): Day {
  const asked = monthAsked.safeParse(query)
  const [year, month] = (asked.data?.month ?? '').split('-').map(Number)
  return dayOf(year ?? 0, month ?? 0, 1) ?? scope.today
}

function link({ scope }: Visit, on: Day): string {
  const { year, month } = civilDate(on)
  return pathIn(scope.district.id, `/cold-chain?month=${year}-${String(month).padStart(2, '0')}`)
}

/** Each refrigerator's month: the safe band, what lay outside it, and when nobody read the thermometer. */
export async function coldChainPage(visit: Visit): Promise<DistrictPage> {
  const on = monthOf(visit)
  const fridges = await fridgeMonths(visit.scope, on)
  const body = html`<h1>Cold chain</h1>
    <p class="about">
      Temperatures as texted or taken from loggers; 2 to 8 °C is safe. The national guideline prevails.
      <a href="${link(visit, addMonths(on, -1))}">The month before</a> ·
      <a href="${link(visit, addMonths(on, 1))}">the month after</a>
    </p>
    ${fridges.length === 0 ? html`<p>No temperature is on record.</p>` : null}
    ${fridges.map(
      ({ post, fridge, svg, missing }) =>
        html`<section>
          <h2>${post}, refrigerator ${fridge}</h2>
          <figure class="wide scroll" tabindex="0">${trusted(svg)}</figure>
          <p>${missing === 0 ? 'No half-day lacks a reading.' : `${missing} half-days without a reading.`}</p>
        </section>`,
    )}`
  return { title: 'Cold chain', way: 'Cold chain', body }
}
