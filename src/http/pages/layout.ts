import type { DistrictScope } from '../../app/pages/district-scope.ts'
import { html, page } from './html.ts'
import type { Markup } from './html.ts'
import { timeText } from './words.ts'

/** The pages of a district, in the order of the way through them. */
const WAYS = [
  { path: '', name: 'Overview' },
  { path: '/coverage', name: 'Coverage' },
] as const

export type Way = (typeof WAYS)[number]['name']

export interface DistrictPage {
  readonly title: string
  /** The page that is marked in the list of ways. */
  readonly way: Way
  readonly body: Markup
}

/** The address of a page of a district. */
export function pathIn(districtId: string, path: string): string {
  return `/districts/${districtId}${path}`
}

/** A page of a district as a whole document. */
export function districtPage(scope: DistrictScope, { title, way, body }: DistrictPage): string {
  const { district, now } = scope
  return page({
    title: `${title} · ${district.name} · Duebell`,
    language: 'en',
    head: html`<link rel="stylesheet" href="/assets/pages.css" />`,
    body: html`<a class="skip" href="#content">To the content</a>
      <header class="top">
        <div>
          <a class="brand" href="${pathIn(district.id, '')}">Duebell</a>
          <span class="place">${district.name}</span>
        </div>
      </header>
      <nav class="ways" aria-label="Pages of the district">
        <ul>
          ${WAYS.map(
            ({ path, name }) =>
              html`<li>
                <a href="${pathIn(district.id, path)}" ${name === way ? html`aria-current="page"` : null}
                  >${name}</a
                >
              </li>`,
          )}
        </ul>
      </nav>
      <main id="content">${body}</main>
      <footer class="foot">
        Figures of ${district.name} as they stood on ${timeText(district, now)}. How they are counted:
        docs/indicators.md.
      </footer>`,
  })
}
