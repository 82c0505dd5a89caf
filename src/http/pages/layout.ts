import type { DistrictScope } from '../../app/pages/district-scope.ts'
import type { Village } from '../../core/model.ts'
import type { SignedIn } from './guard.ts'
import { html, page } from './html.ts'
import type { Markup } from './html.ts'
import { timeText } from './words.ts'

/** The pages of a district, in the order of the way through them. */
const WAYS = [
  { name: 'Overview', path: '' },
  { name: 'Coverage', path: '/coverage' },
  { name: 'Doses', path: '/doses' },
  { name: 'Progress', path: '/progress' },
  { name: 'Map', path: '/map' },
  { name: 'Sessions', path: '/sessions' },
  { name: 'Vials', path: '/vials' },
  { name: 'Cold chain', path: '/cold-chain' },
  { name: 'Supplies', path: '/supplies' },
  { name: 'Reactions', path: '/reactions' },
  { name: 'Find and follow', path: '/lists' },
  { name: 'Texts', path: '/texts' },
  { name: 'Data check', path: '/data-check' },
  { name: 'People', path: '/people' },
  { name: 'Schedule', path: '/schedule' },
  { name: 'Practice', path: '/practice' },
] as const

export type Way = (typeof WAYS)[number]['name']

export interface DistrictPage {
  readonly title: string
  /** The page that is marked in the list of ways. */
  readonly way: Way
  readonly body: Markup
  /** What the page loads besides the usual. */
  readonly head?: Markup
}

/** The address of a page of a district. */
export function pathIn(districtId: string, path: string): string {
  return `/districts/${districtId}${path}`
}

/** A village by its name, leading to its page. */
export function villageLink({ districtId, id, name }: Pick<Village, 'districtId' | 'id' | 'name'>): Markup {
  return html`<a href="${pathIn(districtId, `/villages/${id}`)}">${name}</a>`
}

const HEAD = html`<link rel="stylesheet" href="/assets/pages.css" />
  <link rel="icon" href="/assets/icon.svg" />
  <script src="/assets/print.js" defer></script>
  <script src="/assets/unsaved.js" defer></script>`

/** A page outside any district. */
export function plainPage(title: string, body: Markup, head: Markup | null = null): string {
  return page({
    title: `${title} · Duebell`,
    language: 'en',
    head: html`${HEAD}${head}`,
    body: html`<header class="top">
        <div><a class="brand" href="/district">Duebell</a></div>
      </header>
      <main id="content">${body}</main>`,
  })
}

/** A page of a district as a whole document. */
export function districtPage(
  scope: DistrictScope,
  signedIn: SignedIn,
  { title, way, body, head }: DistrictPage,
): string {
  const { district, now } = scope
  return page({
    title: `${title} · ${district.name} · Duebell`,
    language: 'en',
    head: html`${HEAD}${head}`,
    body: html`<a class="skip" href="#content">To the content</a>
      <header class="top">
        <div>
          <a class="brand" href="${pathIn(district.id, '')}">Duebell</a>
          <span class="place">${district.name}</span>
          <a href="${pathIn(district.id, '/own-sessions')}">${signedIn.visitor.name}</a>
          <form method="post" action="/sign-out">${formToken(signedIn)}<button>Sign out</button></form>
        </div>
      </header>
      <nav class="ways" aria-label="Pages of the district">
        <ul>
          ${WAYS.filter(({ name }) => name !== 'Practice' || district.isTraining).map(
            ({ path, name }) =>
              html`<li>
                <a href="${pathIn(district.id, path)}" ${name === way ? html`aria-current="page"` : null}
                  >${name}</a
                >
              </li>`,
          )}
        </ul>
      </nav>
      ${
        district.isTraining
          ? html`<p class="warning" role="note">Training: invented children; no text leaves to a phone.</p>`
          : null
      }
      <main id="content">${body}</main>
      <footer class="foot">${district.name} as on record on ${timeText(district, now)}, local time.</footer>`,
  })
}

/** The field by which a form shows that it was made for this visitor. */
export function formToken({ formToken }: SignedIn): Markup {
  return html`<input type="hidden" name="formToken" value="${formToken}" />`
}
