import { civilDate } from '../../../core/days/day.ts'
import { percentText } from '../../../core/coverage/shown-ratio.ts'
import type { CoverageRow } from '../../../core/coverage/coverage-rows.ts'
import { ALL_VILLAGES } from '../../../core/coverage/coverage-rows.ts'
import type { SingleAct } from '../../../core/reading/act.ts'
import { say } from '../../../core/texts/phrases.ts'
import { listMissedChildren } from '../../../store/defaulters.ts'
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
  const { rows } = await reportCoverage(tx, deps.shelf, {
    districtId: sender.district.id,
    window: { kind: 'cohort', birthYear },
    byAge: 'any',
    measure: 'crude',
    denominator: 'administrative',
  })
  const place = village?.name ?? sender.district.name
  const own = rows.filter((row) => row.village === (village?.name ?? ALL_VILLAGES))
  const { zeroDose, underVaccinated, dropoutPairs } = deps.shelf.indicators
  const measles = dropoutPairs.find((pair) => pair.name === 'mcv-1-2')
  const shown = [zeroDose, underVaccinated, ...(measles === undefined ? [] : [measles.first])].flatMap(
    ({ series, dose }) => own.find((row) => series.includes(row.series) && row.dose === dose) ?? [],
  )
  const lines = shown.flatMap((row) => lineOf(talk, row))
  if (lines.length === 0) return { body: say(book, 'coverage-none', { place }) }
  return { body: [say(book, 'coverage-is', { place, period: String(birthYear) }), ...lines].join('\n') }
}

function lineOf({ book }: Conversation, { series, dose, numerator, denominator }: CoverageRow): string[] {
  if (denominator === null || denominator === 0) return []
  const facts = { dose: `${series} ${dose}`, reached: numerator, target: Math.round(denominator) }
  return [say(book, 'coverage-line', { ...facts, percent: percentText(numerator, denominator) })]
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
