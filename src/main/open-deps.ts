import type { Deps } from '../app/deps.ts'
import type { Clock, Conveyor } from '../app/ports.ts'
import { newIds, newSecret } from '../platform/ids.ts'
import { loadShelf } from './shelf.ts'
import type { Store } from './with-store.ts'

/** For commands that do not run workers: what they leave to do is a row, and a sweep of the service finds it. */
export const silentConveyor: Conveyor = {
  readText: () => Promise.resolve(),
  sendText: () => Promise.resolve(),
  handOver: () => Promise.resolve(),
  callWebhook: () => Promise.resolve(),
}

/** What the use cases need, on an open store. */
export function openDeps(store: Store, clock: Clock, conveyor: Conveyor): Deps {
  return {
    database: store,
    clock,
    newId: newIds(clock.now),
    newSecret,
    log: store.log,
    shelf: loadShelf(store.config.reminderPoliciesFolder),
    conveyor,
  }
}
