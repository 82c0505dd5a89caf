import type { DoseFlows } from '../../core/coverage/flows.ts'
import { outliers } from '../../core/coverage/outliers.ts'
import { promptness } from '../../core/coverage/promptness.ts'
import type { Promptness } from '../../core/coverage/promptness.ts'
import { firstOfMonth } from '../../core/coverage/report-window.ts'
import { sessionCompletion } from '../../core/coverage/sessions-held.ts'
import type { SessionCompletion } from '../../core/coverage/sessions-held.ts'
import { addDays, addMonths } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { startOfDay } from '../../core/days/day-bounds.ts'
import type { HealthPost } from '../../core/model.ts'
import { expandSessions } from '../../core/sessions/session-calendar.ts'
import type { Period } from '../../store/coverage.ts'
import { listHealthPosts } from '../../store/districts.ts'
import { countDosesByMonth, countUncountedDoses, listDaysWorked, listDelays } from '../../store/figures.ts'
import { countClosed, countEntries } from '../../store/entry-figures.ts'
import type { ClosedCount, EntryCount } from '../../store/entry-figures.ts'
import { listReviewItems } from '../../store/follow-up.ts'
import type { ReviewItem } from '../../store/follow-up.ts'
import { reportFlows } from '../report-flows.ts'
import { reportNewbornEnrolment } from '../report-newborn-enrolment.ts'
import type { NewbornEnrolment } from '../report-newborn-enrolment.ts'
import { provenCalendar } from '../sessions-of.ts'
import { policyOf } from '../shelf.ts'
import type { DistrictScope } from './district-scope.ts'
import { ladderIn } from './dose-ladder.ts'

export type { ClosedCount, EntryCount } from '../../store/entry-figures.ts'
export type { ReviewItem } from '../../store/follow-up.ts'

/** A month in which a village's doses lie far from those of its year. */
export interface OddMonth {
  readonly village: string
  readonly villageId: string
  readonly series: string
  readonly dose: number
  readonly monthOn: Day
  readonly children: number
  readonly mean: number
}

export interface PostAtWork {
  readonly post: HealthPost
  readonly completion: SessionCompletion
  /** Null: nothing was heard in the whole time. */
  readonly lastOn: Day | null
}

export interface UncountedDoses {
  readonly villageId: string
  readonly village: string
  readonly reason: string
  readonly doses: number
  /** Of these, given for a reason that was written down. */
  readonly explained: number
  /** All doses of the village's children in the same time. */
  readonly given: number
}

/** What is odd about a district's data, each with where to look. */
export interface DataCheck {
  readonly oddMonths: readonly OddMonth[]
  readonly uncounted: readonly UncountedDoses[]
  readonly posts: readonly PostAtWork[]
  /** Where the doses of the last twelve months were given, against where the children live. */
  readonly flows: DoseFlows
  readonly reports: Promptness
  readonly enrolments: Promptness
  /** Of the children born in the last twelve months. */
  readonly newborns: readonly NewbornEnrolment[]
  /** Each post's months of the same time. */
  readonly entries: readonly EntryCount[]
  readonly closed: readonly ClosedCount[]
  readonly waiting: readonly ReviewItem[]
}

const YEAR_MONTHS = 12
export const WATCHED_DAYS = 28
export const PROMPT_DAYS = 90
const MOST_WAITING = 100

export async function dataCheck(scope: DistrictScope): Promise<DataCheck> {
  const { db, deps, district, today } = scope
  const { reportWithinDays, enrolWithinDays } = deps.shelf.indicators
  const since = startOfDay(addDays(today, -PROMPT_DAYS), district.timeZone)
  const delays = await listDelays(db, district.id, since)
  return {
    oddMonths: await findOddMonths(scope),
    uncounted: await countUncountedDoses(db, district.id, addMonths(today, -YEAR_MONTHS)),
    posts: await watchPosts(scope, { fromOn: addDays(today, -WATCHED_DAYS), toOn: addDays(today, -1) }),
    flows: await reportFlows(db, district.id, { fromOn: addMonths(today, -YEAR_MONTHS), toOn: today }),
    reports: promptness(delays.reports, reportWithinDays),
    enrolments: promptness(delays.enrolments, enrolWithinDays),
    newborns: await reportNewbornEnrolment(db, deps.shelf, {
      districtId: district.id,
      born: { fromOn: addMonths(today, -YEAR_MONTHS), toOn: today },
    }),
    entries: await countEntries(db, district.id, since),
    closed: await countClosed(db, district.id),
    waiting: await listReviewItems(db, district.id, MOST_WAITING),
  }
}

/** The twelve whole months before this one, village by village and dose by dose. */
async function findOddMonths(scope: DistrictScope): Promise<readonly OddMonth[]> {
  const { db, deps, district, villages, today } = scope
  const { steps, first } = await ladderIn(scope)
  const thisMonth = firstOfMonth(today)
  const months = Array.from({ length: YEAR_MONTHS }, (_, back) => addMonths(thisMonth, back - YEAR_MONTHS))
  const counts = await countDosesByMonth(db, {
    districtId: district.id,
    villageId: null,
    series: first.series,
    period: { fromOn: addMonths(thisMonth, -YEAR_MONTHS), toOn: addMonths(thisMonth, -1) },
  })
  return villages.flatMap(({ id, name }) =>
    steps.flatMap(({ series, dose }) => {
      const own = counts.filter((count) => count.villageId === id && count.dose === dose)
      const values = months.map((on) => own.find(({ monthOn }) => monthOn === on)?.children ?? 0)
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length
      return outliers(values, deps.shelf.indicators.outlierDeviations).map((place) => ({
        village: name,
        villageId: id,
        series,
        dose,
        monthOn: months[place] ?? thisMonth,
        children: values[place] ?? 0,
        mean,
      }))
    }),
  )
}

/** Each post's days: those planned for any of its villages against those on which it reported doses. */
export async function watchPosts(scope: DistrictScope, period: Period): Promise<readonly PostAtWork[]> {
  const { db, deps, district, villages } = scope
  const { holidays } = policyOf(deps.shelf, district.reminderPolicy)
  const worked = await listDaysWorked(db, district.id, period)
  const posts = await listHealthPosts(db, district.id)
  return posts.map((post) => {
    const planned = villages
      .filter(({ postId }) => postId === post.id)
      .flatMap(
        ({ sessions }) => expandSessions(provenCalendar(sessions), period.fromOn, period.toOn, holidays).days,
      )
    const own = worked.get(post.id) ?? []
    return { post, completion: sessionCompletion(planned, own), lastOn: own.at(-1) ?? null }
  })
}
