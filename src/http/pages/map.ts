import { districtFigures } from '../../app/pages/district-figures.ts'
import type { VillageFigures } from '../../app/pages/district-figures.ts'
import { villageMap } from './charts/village-map.ts'
import type { MapPlace } from './charts/village-map.ts'
import { choiceFields, choiceOf, choiceWords } from './choices.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { KINDS, kindMarkup } from './kinds.ts'
import { villageLink } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { ratioMarkup } from './words.ts'

/** Where the villages lie and what kind of problem each has. */
export async function mapPage({ scope, query }: Visit): Promise<DistrictPage> {
  const choice = choiceOf(query)
  const { villages } = await districtFigures(scope, choice)
  const places = villages.flatMap(placeOf)
  const unplaced = villages.filter(({ village }) => village.latitude === null || village.longitude === null)
  const body = html`<h1>Map of ${scope.district.name}</h1>
    <p class="about">${choiceWords(scope, choice)}</p>
    <form class="choices" method="get">${choiceFields(scope, choice)}<button>Show</button></form>
    <div class="side-by-side">
      ${places.length === 0 ? html`<p>No village has coordinates.</p>` : picture(places)} ${table(villages)}
    </div>
    ${
      unplaced.length === 0
        ? null
        : html`<p>Without coordinates: ${unplaced.map(({ village }) => village.name).join(', ')}.</p>`
    }`
  return { title: 'Map', way: 'Map', body }
}

function placeOf({ village, priority, underVaccinated }: VillageFigures): MapPlace[] {
  const { name, latitude, longitude } = village
  if (latitude === null || longitude === null) return []
  const category = priority?.category ?? null
  return [{ name, latitude, longitude, category, children: underVaccinated?.children ?? 0 }]
}

const SHAPES = { 1: '○ circle', 2: '▲ triangle', 3: '□ square', 4: '◆ diamond' } as const

function picture(places: readonly MapPlace[]): Markup {
  const described = places.map(({ name, category }) => `${name}: kind ${category ?? 'not known'}`)
  return html`<figure>
    ${villageMap({ id: 'village-map', title: 'Map of the villages', description: described.join('; '), places })}
    <figcaption>
      North is up. The larger, the more under-vaccinated children.
      ${KINDS.map(({ category, name }) => `${SHAPES[category]}: ${category} ${name}`).join(', ')}.
    </figcaption>
  </figure>`
}

/** The same without seeing: most under-vaccinated first. */
function table(villages: readonly VillageFigures[]): Markup {
  const left = ({ underVaccinated }: VillageFigures): number => underVaccinated?.children ?? 0
  return html`<div ${SCROLLING}>
    <table>
      <thead>
        <tr>
          <th scope="col">Village</th>
          <th scope="col" class="number">Under-vaccinated</th>
          <th scope="col" class="number">Reached</th>
          <th scope="col">Kind</th>
        </tr>
      </thead>
      <tbody>
        ${villages
          .toSorted((a, b) => left(b) - left(a))
          .map(
            (figures) =>
              html`<tr>
                <th scope="row">${villageLink(figures.village)}</th>
                <td class="number">${figures.underVaccinated === null ? '–' : Math.round(left(figures))}</td>
                <td class="number">${ratioMarkup(figures.first)}</td>
                <td>${kindMarkup(figures.priority)}</td>
              </tr>`,
          )}
      </tbody>
    </table>
  </div>`
}
