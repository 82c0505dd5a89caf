import type { District } from '../core/model.ts'
import { closeAppointment, findPlannedAppointment, listPassedAppointments } from '../store/appointments.ts'
import { listChildrenToPlanAgain, lockChild } from '../store/children.ts'
import { listDistricts } from '../store/districts.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { refreshPlan } from './refresh-plan.ts'

const BATCH = 200

export interface ClosedVisits {
  readonly missed: number
  readonly plannedAgain: number
}

/**
 * Closes the visits whose day has passed without a report and plans those children again, and plans the children
 * for whom something is wanted only now. Each child is a transaction of its own; running it twice changes nothing.
 */
export async function closePassedVisits(deps: Deps): Promise<ClosedVisits> {
  let missed = 0
  let plannedAgain = 0
  for (const district of await listDistricts(deps.database.db)) {
    missed += await closeMissed(deps, district)
    plannedAgain += await planAgain(deps, district)
  }
  return { missed, plannedAgain }
}

async function closeMissed(deps: Deps, district: District): Promise<number> {
  const today = todayIn(deps, district)
  let count = 0
  for (;;) {
    const passed = await listPassedAppointments(deps.database.db, district.id, today, BATCH)
    for (const { childId } of passed) {
      await deps.database.transaction(async (tx) => {
        await lockChild(tx, childId)
        const planned = await findPlannedAppointment(tx, childId)
        if (planned === undefined || planned.sessionOn >= today) return
        await closeAppointment(tx, planned.id, {
          status: 'missed',
          reason: 'did-not-come',
          at: deps.clock.now(),
        })
        await refreshPlan(tx, deps, childId)
        count += 1
      })
    }
    if (passed.length < BATCH) return count
  }
}

async function planAgain(deps: Deps, district: District): Promise<number> {
  const today = todayIn(deps, district)
  let count = 0
  for (;;) {
    const ids = await listChildrenToPlanAgain(deps.database.db, district.id, today, BATCH)
    for (const childId of ids) await deps.database.transaction((tx) => refreshPlan(tx, deps, childId))
    count += ids.length
    if (ids.length < BATCH) return count
  }
}
