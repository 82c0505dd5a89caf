import type { Route } from '../route.ts'
import { ADVICE_ROUTES } from './advice.ts'
import { BIRTH_GROUP_ROUTES } from './birth-groups.ts'
import { CALENDAR_ROUTES } from './calendar-links.ts'
import { GROUP_TEXT_ROUTES } from './group-texts.ts'
import { CHILD_ROUTES } from './children.ts'
import { CLINICAL_NOTE_ROUTES } from './clinical-notes.ts'
import { COVERAGE_ROUTES } from './coverage.ts'
import { DEAD_LETTER_ROUTES } from './dead-letters.ts'
import { DOUBLE_ROUTES } from './doubles.ts'
import { DOSE_ROUTES } from './doses.ts'
import { EXCHANGE_ROUTES } from './exchange.ts'
import { FAMILY_ROUTES } from './families.ts'
import { FHIR_EXPORT_ROUTES } from './fhir-export.ts'
import { FHIR_READ_ROUTES } from './fhir-reads.ts'
import { FHIR_WRITE_ROUTES } from './fhir-writes.ts'
import { WEBHOOK_ROUTES } from './webhooks.ts'
import { MESSAGE_ROUTES } from './messages.ts'
import { OUTLOOK_ROUTES } from './outlook.ts'
import { PEOPLE_ROUTES } from './people.ts'
import { PLACE_ROUTES } from './places.ts'
import { POST_ROUTES } from './posts.ts'
import { REGISTER_ROUTES } from './register.ts'
import { PRIVACY_ROUTES } from './privacy.ts'
import { RUN_ROUTES } from './runs.ts'
import { REACTION_ROUTES } from './reactions.ts'
import { RETENTION_ROUTES } from './retention.ts'
import { SERVICE_INDICATOR_ROUTES } from './service-indicators.ts'
import { SPENDING_ROUTES } from './spending.ts'
import { SCHEDULE_ROUTES } from './schedules.ts'
import { SUPPLY_ROUTES } from './supplies.ts'
import { TOKEN_ROUTES } from './tokens.ts'
import { VIAL_ROUTES } from './vials.ts'
import { SEARCH_ROUTES } from './search.ts'

/** Every route of the API, in the order of the documentation. */
export const ROUTES: readonly Route[] = [
  ...CHILD_ROUTES,
  ...BIRTH_GROUP_ROUTES,
  ...FAMILY_ROUTES,
  ...SEARCH_ROUTES,
  ...REGISTER_ROUTES,
  ...DOUBLE_ROUTES,
  ...OUTLOOK_ROUTES,
  ...CALENDAR_ROUTES,
  ...CLINICAL_NOTE_ROUTES,
  ...PRIVACY_ROUTES,
  ...RETENTION_ROUTES,
  ...PEOPLE_ROUTES,
  ...TOKEN_ROUTES,
  ...DOSE_ROUTES,
  ...VIAL_ROUTES,
  ...REACTION_ROUTES,
  ...SUPPLY_ROUTES,
  ...SERVICE_INDICATOR_ROUTES,
  ...PLACE_ROUTES,
  ...POST_ROUTES,
  ...COVERAGE_ROUTES,
  ...SCHEDULE_ROUTES,
  ...MESSAGE_ROUTES,
  ...DEAD_LETTER_ROUTES,
  ...SPENDING_ROUTES,
  ...ADVICE_ROUTES,
  ...GROUP_TEXT_ROUTES,
  ...RUN_ROUTES,
  ...EXCHANGE_ROUTES,
  ...WEBHOOK_ROUTES,
  ...FHIR_READ_ROUTES,
  ...FHIR_WRITE_ROUTES,
  ...FHIR_EXPORT_ROUTES,
]
