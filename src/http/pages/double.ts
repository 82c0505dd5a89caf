/** The page of one pair, and what a reviewer sends from it. */
import { z } from 'zod'
import { keepOneDose, mergeDouble, sayTwo } from '../../app/doubles/settle-double.ts'
import { ownPair, settleOwnPair } from '../../app/pages/own-double.ts'
import type { SideBySide } from '../../app/pages/own-double.ts'
import { CHOSEN_FACTS } from '../../core/children/proposed-merge.ts'
import { dosePairBody } from './double-doses.ts'
import { pairBody } from './double-pair.ts'
import { commentField, reasonsText } from './doubles.ts'
import { proven } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { pathIn } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'

/** Both records, or both reports, side by side. @throws {Refusal} double-not-found */
export async function doublePage(visit: Visit): Promise<DistrictPage> {
  const pair = await ownPair(visit.scope, visit.params['itemId'] ?? '')
  const { item, records } = pair
  const title = item.kind === 'double' ? 'One child or two?' : 'One dose or two?'
  const body = html`<h1>${title}</h1>
    <p>
      ${records.map(({ child }) => child.name).join(' and ')} ·
      <a href="${pathIn(visit.scope.district.id, '/doubles')}">all doubles</a>
    </p>
    <p class="about">${reasonsText(item)}</p>
    ${item.closedAt === null ? null : html`<p class="warning">This pair was settled: ${item.outcome ?? ''}.</p>`}
    ${comparison(visit, pair)}`
  return { title, way: 'Data check', body }
}

function comparison(visit: Visit, pair: SideBySide): Markup {
  const [one, other] = pair.records
  if (one === undefined || other === undefined || pair.proposed === null) return dosePairBody(visit, pair)
  return pairBody(visit, pair, [one, other], pair.proposed)
}

const choice = z.uuid().optional()
/** The records whose facts stay, and in `drop-…` the reports of doses that are withdrawn. */
const mergeFields = z
  .object({
    stays: z.uuid('Choose the record that stays.'),
    comment: commentField,
    name: choice,
    sex: choice,
    birth: choice,
    birthWeight: choice,
    village: choice,
  })
  .catchall(z.string())

/** Makes one record of two as it was chosen; answers the page of the child. */
export async function mergeFrom({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const itemId = params['itemId'] ?? ''
  const { stays: staysId, comment, ...chosen } = proven(mergeFields, sent)
  const fromLeaving = CHOSEN_FACTS.filter((fact) => chosen[fact] !== undefined && chosen[fact] !== staysId)
  const dropDoseIds = Object.entries(chosen).flatMap(([field, id]) =>
    field.startsWith('drop-') && id !== undefined && id !== '' ? [id] : [],
  )
  await settleOwnPair(scope, itemId, (tx) =>
    mergeDouble(tx, scope.deps, { itemId, staysId, fromLeaving, dropDoseIds, comment, by: visitor.holderId }),
  )
  return pathIn(scope.district.id, `/children/${staysId}`)
}

const twoFields = z.object({ comment: commentField })

/** Notes that they are two; answers the list. */
export async function sayTwoFrom({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const itemId = params['itemId'] ?? ''
  const { comment } = proven(twoFields, sent)
  await settleOwnPair(scope, itemId, (tx) =>
    sayTwo(tx, scope.deps, { itemId, comment, by: visitor.holderId }),
  )
  return pathIn(scope.district.id, '/doubles')
}

const doseFields = z.object({ keep: z.uuid('Choose the report that stays.'), comment: commentField })

/** Withdraws the other report of one dose; answers the list. */
export async function oneDoseFrom({ scope, visitor, params }: Visit, sent: unknown): Promise<string> {
  const itemId = params['itemId'] ?? ''
  const { keep: keepDoseId, comment } = proven(doseFields, sent)
  await settleOwnPair(scope, itemId, (tx) =>
    keepOneDose(tx, scope.deps, { itemId, keepDoseId, comment, by: visitor.holderId }),
  )
  return pathIn(scope.district.id, '/doubles')
}
