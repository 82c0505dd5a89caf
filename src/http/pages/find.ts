import { z } from 'zod'
import { searchChildren } from '../../app/search-children.ts'
import type { SearchAnswer } from '../../app/search-children.ts'
import { viewByCard, viewByPhone } from '../../app/views.ts'
import { checkCardNumber, formatCardNumber } from '../../core/card-number.ts'
import type { Searched } from '../../core/children/search.ts'
import { Refusal } from '../../core/refusals.ts'
import { selectField } from './choices.ts'
import { proven } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { dayText } from './words.ts'

/** A field that was left empty was not filled in. */
const words = z
  .string()
  .trim()
  .max(120)
  .transform((text) => (text === '' ? undefined : text))
  .optional()
const findQuery = z.object({
  find: words,
  name: words,
  birth: words,
  village: z.uuid().optional().catch(undefined),
  sex: z.enum(['female', 'male']).optional().catch(undefined),
  phone: words,
  card: words,
})
type Asked = z.infer<typeof findQuery>

/** Children by card or phone alone, or by two facts or more and parts of them. @throws {Refusal} phone-impossible */
export async function findPage(visit: Visit): Promise<DistrictPage> {
  const asked = proven(findQuery, visit.query)
  const answer = await find(visit, asked)
  const body = html`<h1>Find a child</h1>
    ${typeof answer === 'string' ? html`<p class="warning">${answer}</p>` : foundList(visit, answer)}
    ${findForms(visit, asked)}`
  return { title: 'Find a child', way: 'Find and follow', body }
}

async function find(
  { scope }: Visit,
  { find: number, village, ...facts }: Asked,
): Promise<SearchAnswer | string> {
  const { deps, district, db } = scope
  if (number !== undefined) {
    const isCard = checkCardNumber(number).kind === 'card'
    const views = isCard ? await viewByCard(db, number, district.id) : await viewByPhone(db, number, district)
    return { children: views.map(({ child }) => ({ ...child, formerNames: [], phones: [] })), more: 0 }
  }
  try {
    return await searchChildren(db, deps, district.id, { ...facts, villageId: village })
  } catch (problem) {
    const isAsking = problem instanceof Refusal && problem.code.startsWith('search-')
    if (isAsking) return problem.detail
    throw problem
  }
}

function foundList({ scope }: Visit, { children, more }: SearchAnswer): Markup {
  if (children.length === 0)
    return html`<p>
      No child of ${scope.district.name}. Look at what you wrote again, or leave out what is not certain.
    </p>`
  return html`<p class="about">
      Likeliest first.${more > 0 ? ` ${more} more fit; add a fact to shorten the list.` : ''}
    </p>
    <ol>
      ${children.map((child) => foundLine(scope, child))}
    </ol>`
}

function foundLine({ district, villages }: Visit['scope'], child: Searched): Markup {
  const village = villages.find(({ id }) => id === child.villageId)
  return html`<li>
    <a href="${pathIn(district.id, `/children/${child.id}`)}">${child.name}</a>, born
    ${dayText(district, child.birthOn)}, ${village?.name ?? ''}, card ${formatCardNumber(child.cardNumber)}
  </li>`
}

/** The two ways to look for a child: by a number, or by what is known of it. */
export function findForms({ scope }: Visit, asked: Asked = {}): Markup {
  const action = pathIn(scope.district.id, '/find')
  return html`<h2>By card or phone</h2>
    <form class="choices" method="get" action="${action}">
      ${field({ id: 'find', label: 'Card number or phone number', value: asked.find, mode: 'tel' })}
      <button>Find</button>
    </form>
    <h2>By two facts or more</h2>
    <form class="choices" method="get" action="${action}">
      ${field({ id: 'name', label: 'Name, in any spelling; * for letters you are not sure of', value: asked.name })}
      ${field({ id: 'birth', label: 'Born, as 2026, 2026-03 or 2026-03-14', value: asked.birth, mode: 'numeric' })}
      ${selectField(
        { id: 'village', label: 'Village' },
        [{ value: '', name: 'any' }, ...scope.villages.map(({ id, name }) => ({ value: id, name }))],
        asked.village ?? '',
      )}
      ${selectField(
        { id: 'sex', label: 'Sex' },
        [
          { value: '', name: 'any' },
          { value: 'female', name: 'female' },
          { value: 'male', name: 'male' },
        ],
        asked.sex ?? '',
      )}
      ${field({ id: 'phone', label: 'Last digits of a phone', value: asked.phone, mode: 'tel' })}
      ${field({ id: 'card', label: 'Digits of the card; ? for one that cannot be read', value: asked.card })}
      <button>Find</button>
    </form>`
}

interface Field {
  readonly id: string
  readonly label: string
  readonly value: string | undefined
  readonly mode?: 'tel' | 'numeric'
}

function field({ id, label, value, mode }: Field): Markup {
  return html`<div>
    <label for="${id}">${label}</label>
    <input id="${id}" name="${id}" value="${value ?? ''}" inputmode="${mode ?? 'text'}" autocomplete="off" />
  </div>`
}
