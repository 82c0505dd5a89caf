import { civilDate } from '../../../core/days/day.ts'
import type { SingleAct } from '../../../core/reading/act.ts'
import { say } from '../../../core/texts/phrases.ts'
import { listMissedChildren } from '../../../store/defaulters.ts'
import { coverageText } from '../../coverage-text.ts'
import { reportCoverage } from '../../report-coverage.ts'
import type { Worker } from '../sender.ts'
import { listText } from '../list-text.ts'
import { villageByName } from '../talk.ts'
import type { Answer, Conversation, Talk } from '../talk.ts'

type OfAct<Name extends SingleAct['act']> = Extract<SingleAct, { act: Name }>

/** Names fit into one text. */
const LINES = 3

/** COVER: last year's births of a village or the district: first and third DTP-containing dose, first measles dose. */
export async function coverageByText(talk: Conversation<Worker>, act: OfAct<'coverage'>): Promise<Answer> {
  const { tx, deps, book, sender, today } = talk
  const village = act.village === null ? null : await villageByName(talk, act.village)
  const birthYear = civilDate(today).year - 1
  const report = await reportCoverage(tx, deps.shelf, {
    districtId: sender.district.id,
    window: { kind: 'cohort', birthYear },
    byAge: 'any',
    measure: 'crude',
    denominator: 'administrative',
  })
  const body = coverageText(report, {
    villageName: village?.name ?? null,
    period: String(birthYear),
    settings: deps.shelf.indicators,
    book,
  })
  return { body }
}

/** MISSED: how many did not come, and whom to look for. */
export async function missedByText(talk: Talk<Worker>, act: OfAct<'missed-list'>, page = 0): Promise<Answer> {
  const { tx, book, sender } = talk
  const village = act.village === null ? null : await villageByName(talk, act.village)
  const place = village?.name ?? sender.district.name
  const children = await listMissedChildren(tx, {
    districtId: sender.district.id,
    postId: sender.person.postId,
    villageId: village?.id ?? null,
  })
  if (children.length === 0) return { body: say(book, 'missed-none', { place }) }
  const head = say(book, 'missed-list', { place, count: children.length })
  return { body: listText(book, { head, children, naming: sender.district.childNaming, lines: LINES, page }) }
}
