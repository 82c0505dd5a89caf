import type { Route } from '../route.ts'
import { CHILD_ROUTES } from './children.ts'
import { DOSE_ROUTES } from './doses.ts'
import { MESSAGE_ROUTES, SCHEDULE_ROUTES } from './messages.ts'
import { PLACE_ROUTES } from './places.ts'

/** Every route of the API, in the order of the documentation. */
export const ROUTES: readonly Route[] = [
  ...CHILD_ROUTES,
  ...DOSE_ROUTES,
  ...PLACE_ROUTES,
  ...SCHEDULE_ROUTES,
  ...MESSAGE_ROUTES,
]
