import type { Day } from '../core/days/day.ts'
import type { District } from '../core/model.ts'
import { closeAppointment, findPlannedAppointment, listPassedAppointments } from '../store/appointments.ts'
import { listChildrenToPlanAgain, lockChild } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import { listDistricts } from '../store/districts.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { eachInTurn } from './each-in-turn.ts'
import { announce } from './webhooks/announce.ts'
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
  return eachInTurn(
    deps,
    async () =>
      (await listPassedAppointments(deps.database.db, district.id, today, BATCH)).map((one) => one.childId),
    (tx, childId) => closeVisit(tx, deps, { childId, district, today }),
  )
}

async function closeVisit(
  tx: Transaction,
  deps: Deps,
  {
    childId,
    district,
    today,
  }: { readonly childId: string; readonly district: District; readonly today: Day },
): Promise<void> {
  await lockChild(tx, childId)
  const planned = await findPlannedAppointment(tx, childId)
  if (planned === undefined || planned.sessionOn >= today) return
  await closeAppointment(tx, planned.id, { status: 'missed', reason: 'did-not-come', at: deps.clock.now() })
  await announce(tx, deps, district, [{ kind: 'missed', childId, subjectId: planned.id }])
  await refreshPlan(tx, deps, childId)
}

function planAgain(deps: Deps, district: District): Promise<number> {
  const today = todayIn(deps, district)
  return eachInTurn(
    deps,
    () => listChildrenToPlanAgain(deps.database.db, district.id, today, BATCH),
    (tx, childId) => refreshPlan(tx, deps, childId),
  )
}
