import { z } from 'zod'
import { countFollowLists, followList, FOLLOW_LISTS } from '../../app/pages/follow-lists.ts'
import type { FollowLine, FollowList } from '../../app/pages/follow-lists.ts'
import { villageIn } from '../../app/pages/district-scope.ts'
import { listCsv, listXlsx } from '../../app/pages/list-file.ts'
import { sendList } from '../../app/pages/send-list.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import { Refusal } from '../../core/refusals.ts'
import { selectField } from './choices.ts'
import type { DownloadedFile } from './download.ts'
import { proven } from './guard.ts'
import { findForms } from './find.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { formToken, pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import { outcomeForm } from './outcome.ts'
import type { Visit } from './visit.ts'
import { ageText, nearDayText } from './words.ts'

/** What each list is called, who is on it, and what its day is. */
const LISTS: Readonly<
  Record<FollowList, { readonly name: string; readonly about: string; readonly day: string }>
> = {
  due: { name: 'Expected', about: 'Visits planned for the next two weeks.', day: 'Visit' },
  'to-tell': {
    name: 'Tell in person',
    about:
      'Expected children whose family no text tells: no phone, texts that do not arrive, or its own choice.',
    day: 'Visit',
  },
  missed: {
    name: 'To be found',
    about: 'Children who missed their last visit and have not come since.',
    day: 'Missed on',
  },
  'long-missed': {
    name: 'Nobody has acted',
    about: 'Children missed for long, of whom nothing was noted since: the officer decides what to do.',
    day: 'Missed on',
  },
  'zero-dose': {
    name: 'Zero-dose',
    about: 'Children under two on the register who are late for their first DTP-containing dose.',
    day: 'Late since',
  },
  'moved-in': {
    name: 'Newly come',
    about: 'Children who moved here, or were enrolled late, in the last sixty days: ask for their cards.',
    day: 'Came on',
  },
}

const listName = z.enum(FOLLOW_LISTS)
const listQuery = z.object({ village: z.uuid().optional().catch(undefined) })

/** The lists and how long each is. */
export async function listsPage(visit: Visit): Promise<DistrictPage> {
  const { scope } = visit
  const counts = await countFollowLists(scope)
  const body = html`<h1>Find and follow</h1>
    <dl class="figures">
      ${FOLLOW_LISTS.map(
        (list) =>
          html`<div>
            <dt>${LISTS[list].name}</dt>
            <dd class="value">
              <a href="${pathIn(scope.district.id, `/lists/${list}`)}">${counts.get(list) ?? 0}</a>
            </dd>
            <dd>${LISTS[list].about}</dd>
          </div>`,
      )}
    </dl>
    ${findForms(visit)}
    <p>
      The register as a file, as import takes it:
      <a href="${pathIn(scope.district.id, '/register.csv')}">CSV</a>,
      <a href="${pathIn(scope.district.id, '/register.xlsx')}">XLSX</a>. It holds names and numbers.
    </p>`
  return { title: 'Find and follow', way: 'Find and follow', body }
}

function listNamed(name: string | undefined): FollowList {
  const list = listName.safeParse(name).data
  if (list === undefined) throw new Refusal('route-not-found', 'There is no such list; go back to the lists.')
  return list
}

/** The list that an address names. @throws {Refusal} village-not-found */
async function listOf({ scope, params, query }: Visit) {
  const list = listNamed(params['list'])
  const wanted = listQuery.parse(query).village
  const village = wanted === undefined ? null : villageIn(scope, wanted)
  return { list, village, groups: await followList(scope, list, village?.id ?? null) }
}

/** One list by village, for the desk and for the road. */
export async function listPage(visit: Visit): Promise<DistrictPage> {
  const { scope } = visit
  const { list, village, groups } = await listOf(visit)
  const { name, about } = LISTS[list]
  const count = groups.reduce((sum, { lines }) => sum + lines.length, 0)
  const own = pathIn(scope.district.id, `/lists/${list}`)
  const filter = village === null ? '' : `?village=${village.id}`
  const body = html`<h1>${name}${village === null ? '' : `: ${village.name}`}</h1>
    <p class="about">
      ${about} ${count} ${count === 1 ? 'child' : 'children'}; villages in an order to go round in.
    </p>
    <form class="choices" method="get">
      ${selectField(
        { id: 'village', label: 'Village' },
        [
          { value: '', name: 'all' },
          ...scope.villages.map(({ id, name: value }) => ({ value: id, name: value })),
        ],
        village?.id ?? '',
      )}
      <button>Show</button>
      <button type="button" class="quiet" data-print hidden>Print</button>
      <a class="button quiet" href="${own}.csv${filter}">Save as CSV</a>
      <a class="button quiet" href="${own}.xlsx${filter}">Save as XLSX</a>
    </form>
    ${count === 0 ? null : sendForm(visit, list, village?.id ?? '')} ${sentNote(visit)}
    ${groups.map(
      ({ village: place, lines }) =>
        html`<section>
          <h2>${place.name} <span class="about">${lines.length}</span></h2>
          ${linesTable(visit, list, lines)}
        </section>`,
    )}`
  return { title: name, way: 'Find and follow', body }
}

/** Sends the list to the phones of those who walk it. */
function sendForm(visit: Visit, list: FollowList, villageId: string): Markup {
  return html`<form
    class="screen-only"
    method="post"
    action="${pathIn(visit.scope.district.id, `/lists/${list}/send`)}"
  >
    ${formToken(visit)}<input type="hidden" name="village" value="${villageId}" />
    <button class="quiet">Send by text to the vaccinators</button>
  </form>`
}

/** Some lines of a list as a table. */
export function linesTable(visit: Visit, list: FollowList, lines: readonly FollowLine[]): Markup {
  const hasWanted = lines.some(({ wanted }) => wanted.length > 0)
  return html`<div ${SCROLLING}>
    <table class="list">
      <thead>
        <tr>
          <th scope="col" class="tick"><span class="for-readers">Done</span></th>
          <th scope="col" class="card">Card</th>
          <th scope="col" class="name">Child</th>
          <th scope="col" class="short">Age</th>
          <th scope="col" class="short">${LISTS[list].day}</th>
          ${hasWanted ? html`<th scope="col">Vaccines</th>` : null}
          <th scope="col" class="phone">Phone</th>
          <th scope="col" class="remark">What came of it</th>
        </tr>
      </thead>
      <tbody>
        ${lines.map((line) => lineRow(visit, line, hasWanted))}
      </tbody>
    </table>
  </div>`
}

function lineRow(visit: Visit, line: FollowLine, hasWanted: boolean): Markup {
  const { district, today } = visit.scope
  const { childId, cardNumber, name, birthOn, wanted, numbers, on, lastWord } = line
  return html`<tr>
    <td class="tick"><span class="box"></span></td>
    <td class="card">${formatCardNumber(cardNumber)}</td>
    <th scope="row"><a href="${pathIn(district.id, `/children/${childId}`)}">${name}</a></th>
    <td>${ageText(birthOn, today)}</td>
    <td>${nearDayText(district, on, today)}</td>
    ${hasWanted ? html`<td>${wanted.join(', ')}</td>` : null}
    <td>${numbers.length === 0 ? 'none' : numbers.join(', ')}</td>
    <td>
      ${lastWord === null ? null : html`<span class="about">${nearDayText(district, lastWord.on, today)}: ${lastWord.reason}</span>`}
      ${outcomeForm(visit, { childId, name })}
    </td>
  </tr>`
}

/** One list as a table of text, in the order of the page. */
export async function listFile(visit: Visit): Promise<DownloadedFile> {
  const { list, groups } = await listOf(visit)
  return { name: `${list}.csv`, content: listCsv(groups) }
}

/** One list as a workbook, in the order of the page. */
export async function listWorkbook(visit: Visit): Promise<DownloadedFile> {
  const { list, groups } = await listOf(visit)
  return { name: `${list}.xlsx`, content: await listXlsx(list, groups), table: listCsv(groups) }
}

const sendFields = z.object({ village: z.union([z.uuid(), z.literal('')]) })

/** Sends a list to whoever works at its villages; answers the page to show then. */
export async function sendListFrom(visit: Visit, sent: unknown): Promise<string> {
  const { scope, visitor, params } = visit
  const list = listNamed(params['list'])
  const { village } = proven(sendFields, sent)
  const { texts, workers, withoutWorker } = await sendList(scope, visitor, {
    list,
    villageId: village === '' ? null : villageIn(scope, village).id,
  })
  const told = new URLSearchParams({ village, texts: String(texts), workers: String(workers) })
  if (withoutWorker.length > 0) told.set('without', withoutWorker.join(', '))
  return `${pathIn(scope.district.id, `/lists/${list}`)}?${told.toString()}`
}

const toldQuery = z.object({
  texts: z.coerce.number().int(),
  workers: z.coerce.number().int(),
  without: z.string().max(500).optional(),
})

/** What came of sending the list, right after it was sent. */
function sentNote({ query }: Visit): Markup | null {
  const told = toldQuery.safeParse(query).data
  if (told === undefined) return null
  const { texts, workers, without } = told
  return html`<p class="about" role="status">
    ${texts} ${texts === 1 ? 'text' : 'texts'} to ${workers} ${workers === 1 ? 'vaccinator' : 'vaccinators'},
    to leave within the hours of the
    district.${without === undefined ? '' : ` No vaccinator is on record for ${without}.`}
  </p>`
}
