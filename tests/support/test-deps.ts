import type { Deps } from '../../src/app/deps.ts'
import type { Clock } from '../../src/app/ports.ts'
import type { Schedule } from '../../src/core/schedule/schedule.ts'
import { silentConveyor } from '../../src/main/open-deps.ts'
import { loadShelf } from '../../src/main/shelf.ts'
import { newIds, newSecret } from '../../src/platform/ids.ts'
import type { Database } from '../../src/store/database.ts'

const quiet = { info: () => undefined, warn: () => undefined, error: () => undefined }

/** What use cases need, on a test's database and clock, with more schedules than those shipped. */
export function testDeps(database: Database, clock: Clock, schedules: readonly Schedule[] = []): Deps {
  const shelf = loadShelf()
  const known = new Map([...shelf.schedules, ...schedules.map((one): [string, Schedule] => [one.id, one])])
  return {
    database,
    clock,
    newId: newIds(clock.now),
    newSecret,
    log: quiet,
    shelf: { ...shelf, schedules: known },
    conveyor: silentConveyor,
  }
}
