import type { District } from '../core/model.ts'
import { dayAt } from '../core/days/zoned-time.ts'
import type { Day } from '../core/days/day.ts'
import type { Database, Transaction } from '../store/database.ts'
import type { Clock, Conveyor, Log, NewId, NewSecret } from './ports.ts'
import type { Shelf } from './shelf.ts'

/** What every use case is handed first. */
export interface Deps {
  readonly database: Pick<Database, 'db' | 'reading' | 'transaction'>
  readonly clock: Clock
  readonly newId: NewId
  readonly newSecret: NewSecret
  readonly log: Log
  /** Schedules, phrase books, policies and names: data that changes with a release or a publication. */
  readonly shelf: Shelf
  /** Told what may be done now; losing a hint loses nothing, since sweeps find the same work. */
  readonly conveyor: Conveyor
}

/** The civil day it now is in a district. */
export function todayIn(deps: Pick<Deps, 'clock'>, district: Pick<District, 'timeZone'>): Day {
  return dayAt(deps.clock.now(), district.timeZone)
}

/** The store as a route is handed it: a transaction for a write, the database itself for a read. */
export type Handle = Transaction
