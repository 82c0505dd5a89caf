import { addMonths } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { startOfDay } from '../../core/days/day-bounds.ts'
import type { Child } from '../../core/model.ts'
import type { AlertOnRecord } from '../../core/reactions/reaction.ts'
import { reportingRate } from '../../core/reactions/reporting-rate.ts'
import type { ReportingRate } from '../../core/reactions/reporting-rate.ts'
import { listAlerts } from '../../store/alerts.ts'
import { getChildren } from '../../store/children.ts'
import { listHealthPosts } from '../../store/districts.ts'
import { countReactionsByVaccination, countReactionsSince } from '../../store/reactions.ts'
import { lineList } from '../reactions/line-list.ts'
import type { LinedUpReport } from '../reactions/line-list.ts'
import type { DistrictScope } from './district-scope.ts'

/** An alert, where it is about and whom. */
export interface AlertLine {
  readonly alert: AlertOnRecord
  readonly post: string
  readonly child: Child | null
}

export interface ReportOfChild extends LinedUpReport {
  readonly child: Child | null
}

/** What a manager reads of reactions. */
export interface ReactionLists {
  readonly alerts: readonly AlertLine[]
  readonly reports: readonly ReportOfChild[]
  readonly from: Day
  /** By the day of the vaccination (WHO indicator I44). */
  readonly byVaccine: readonly {
    readonly vaccine: string
    readonly isSerious: boolean
    readonly reports: number
  }[]
  readonly rate: ReportingRate
}

const MONTHS = 12
const MOST_ALERTS = 100

/** Open alerts, reports and how many there are of a year. */
export async function reactionLists(scope: DistrictScope): Promise<ReactionLists> {
  const { db, deps, district, today, villages } = scope
  const alerts = await listAlerts(db, district.id, { isOpen: true, limit: MOST_ALERTS })
  const reports = await lineList(db, deps, district)
  const from = addMonths(today, -MONTHS)
  const ids = [
    ...alerts.flatMap(({ childId }) => childId ?? []),
    ...reports.map(({ reaction }) => reaction.childId),
  ]
  const children = new Map((await getChildren(db, ids)).map((child) => [child.id, child]))
  const posts = new Map((await listHealthPosts(db, district.id)).map(({ id, name }) => [id, name]))
  const infants = villages.reduce(
    (sum, { population, birthsPer1000, infantDeathsPer1000Births }) =>
      sum + ((population ?? 0) * (birthsPer1000 ?? 0) * (1 - (infantDeathsPer1000Births ?? 0) / 1000)) / 1000,
    0,
  )
  const count = await countReactionsSince(db, district.id, startOfDay(from, district.timeZone))
  return {
    alerts: alerts.map((alert) => ({
      alert,
      post: posts.get(alert.postId ?? '') ?? '',
      child: children.get(alert.childId ?? '') ?? null,
    })),
    reports: reports.map((report) => ({ ...report, child: children.get(report.reaction.childId) ?? null })),
    from,
    byVaccine: await countReactionsByVaccination(db, { districtId: district.id, from, to: today }),
    rate: reportingRate(count, infants, 1, deps.shelf.alerts),
  }
}
