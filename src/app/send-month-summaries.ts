import { firstOfMonth } from '../core/coverage/report-window.ts'
import { addDays, civilDate } from '../core/days/day.ts'
import type { Day } from '../core/days/day.ts'
import type { District } from '../core/model.ts'
import { say } from '../core/texts/phrases.ts'
import type { Transaction } from '../store/database.ts'
import { listMissedChildren } from '../store/defaulters.ts'
import { listDistricts } from '../store/districts.ts'
import { claimMonthSummary } from '../store/month-summaries.ts'
import { coverageText } from './coverage-text.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { tellPeople } from './tell-people.ts'
import { reportCoverage } from './report-coverage.ts'

/**
 * Sends each district's managers the month that ended last, in one text. Once a month: a turn of the month that found
 * the service down is made up for when it is back, and a month without a dose is passed over.
 */
export async function sendMonthSummaries(deps: Deps): Promise<void> {
  for (const district of await listDistricts(deps.database.db)) {
    const toOn = addDays(firstOfMonth(todayIn(deps, district)), -1)
    const month = { fromOn: firstOfMonth(toOn), toOn }
    await deps.database.transaction(async (tx) => {
      const claim = { districtId: district.id, monthOn: month.fromOn, at: deps.clock.now() }
      if (await claimMonthSummary(tx, claim)) await tellMonth(tx, deps, district, month)
    })
  }
}

interface Month {
  readonly fromOn: Day
  readonly toOn: Day
}

async function tellMonth(tx: Transaction, deps: Deps, district: District, month: Month): Promise<void> {
  const report = await reportCoverage(tx, deps.shelf, {
    districtId: district.id,
    window: { kind: 'period', ...month },
    byAge: 'any',
    measure: 'crude',
    denominator: 'administrative',
  })
  if (report.rows.every(({ numerator }) => numerator === 0)) return
  const missed = await listMissedChildren(tx, { districtId: district.id, postId: null, villageId: null })
  const asked = {
    villageName: null,
    period: monthInDigits(month.fromOn),
    settings: deps.shelf.indicators,
  }
  await tellPeople(tx, deps, district, {
    roles: ['manager'],
    say: (book) =>
      [coverageText(report, { ...asked, book }), say(book, 'to-find', { count: missed.length })].join('\n'),
  })
}

/** 03/2026 */
function monthInDigits(day: Day): string {
  const { year, month } = civilDate(day)
  return `${String(month).padStart(2, '0')}/${year}`
}
