import type { Day } from '../core/days/day.ts'
import type { Child, District, Dose } from '../core/model.ts'
import type { Forecast } from '../core/schedule/forecast-types.ts'
import { forecast } from '../core/schedule/forecast.ts'
import type { Transaction } from '../store/database.ts'
import { replaceVerdicts } from '../store/doses.ts'
import type { StoredVerdict } from '../store/doses.ts'
import { factsOf, routineDoses } from './child-facts.ts'
import { countChildren, sheetOf } from './count-children.ts'
import type { Deps } from './deps.ts'
import { newestOf, versionFor, versionsOf } from './schedule-versions.ts'

/** A child with its doses on record, withdrawn ones left out. */
export interface ChildRecord {
  readonly child: Child
  readonly living: readonly Dose[]
}

export interface JudgedRecord extends ChildRecord {
  readonly outlook: Forecast
}

/**
 * Judges the doses of some children of one district by its schedule, keeps the verdicts, and counts the children.
 * Judging the same records again changes nothing.
 */
export async function judgeChildren(
  tx: Transaction,
  deps: Pick<Deps, 'shelf'>,
  where: { readonly district: District; readonly today: Day },
  records: readonly ChildRecord[],
): Promise<readonly JudgedRecord[]> {
  const { district, today } = where
  const versions = await versionsOf(tx, deps.shelf, district.scheduleCode)
  const judged = records.map((record) => {
    const facts = factsOf(record.child, record.living)
    return { ...record, outlook: forecast(versionFor(versions, facts, today), facts, today) }
  })
  const childIds = records.map(({ child }) => child.id)
  await replaceVerdicts(tx, childIds, judged.flatMap(verdictsOf))
  await countChildren(tx, sheetOf(deps.shelf, newestOf(versions)), judged)
  return judged
}

function verdictsOf(record: JudgedRecord): readonly StoredVerdict[] {
  const doses = routineDoses(record.living)
  return record.outlook.given.flatMap(({ counts }, place) => {
    const doseId = doses[place]?.id
    if (doseId === undefined) return []
    return counts.map(({ series, dose, valid, reason }) => ({
      childId: record.child.id,
      doseId,
      series,
      number: dose,
      isValid: valid,
      reason,
    }))
  })
}
