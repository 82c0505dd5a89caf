import type { Shelf } from '../app/shelf.ts'
import { checkData, mustBeValid } from '../core/checked-data.ts'
import { doubleRulesSchema } from '../core/children/double-rules.ts'
import { searchRulesSchema } from '../core/children/search-rules.ts'
import { spendingSchema } from '../core/delivery/spending.ts'
import { codeMapSchema } from '../core/exchange/code-map.ts'
import { indicatorSettingsSchema } from '../core/coverage/indicator-settings.ts'
import { retentionSchema } from '../core/retention/terms.ts'
import { parseColdChainRules } from '../core/cold-chain/cold-chain-rules.ts'
import { parseAlertRules } from '../core/reactions/alert-rules.ts'
import { parseCautions } from '../core/reactions/cautions.ts'
import { parseCoreVariables } from '../core/reactions/line-list.ts'
import { senderLimitsSchema } from '../core/operation/sender-limits.ts'
import { parseSignCatalogue } from '../core/reactions/sign-catalogue.ts'
import { wordKey } from '../core/reading/clean-text.ts'
import { parseReminderPolicy } from '../core/reminders/policy.ts'
import type { ReminderPolicy } from '../core/reminders/policy.ts'
import { parseSupplyPlanning } from '../core/supplies/supply-planning.ts'
import { parseDiscardWords } from '../core/vials/discard-reason.ts'
import { parseProducts } from '../core/vials/product.ts'
import { parseVialPolicies } from '../core/vials/vial-policy.ts'
import { listDataFiles, readDataFile } from '../platform/data-files.ts'
import { readOwnPolicies } from './own-policies.ts'
import { readPhraseBooks } from './phrase-books.ts'
import { loadSchedule, shippedScheduleIds } from './schedules.ts'
import { readKeywordBooks, readVocabularies } from './vocabularies.ts'

/**
 * All data that comes with the release, proven; a broken file is a fault of the release and throws. A programme's own
 * reminder policies stand beside those of the release, and before one of the same name.
 */
export function loadShelf(policiesFolder: string | null = null): Shelf {
  const schedules = new Map(shippedScheduleIds().map((id) => [id, loadSchedule(id)]))
  return {
    schedules,
    books: readPhraseBooks(),
    policies: new Map([...shippedPolicies(), ...readOwnPolicies(policiesFolder)]),
    senderLimits: mustBeValid(checkData(senderLimitsSchema, readDataFile('senders/limits.json'))),
    indicators: mustBeValid(checkData(indicatorSettingsSchema, readDataFile('indicators/default.json'))),
    search: mustBeValid(checkData(searchRulesSchema, readDataFile('matching/search.json'))),
    doubles: mustBeValid(checkData(doubleRulesSchema, readDataFile('matching/doubles.json'))),
    spending: mustBeValid(checkData(spendingSchema, readDataFile('delivery/spending.json'))),
    retention: mustBeValid(checkData(retentionSchema, readDataFile('retention/terms.json'))),
    vaccineCodes: new Set([...schedules.values()].flatMap((schedule) => [...schedule.vaccines.keys()])),
    vocabularyOf: readVocabularies(),
    pinWords: new Set(readKeywordBooks().flatMap(({ acts }) => acts['set-pin'].map(wordKey))),
    products: mustBeValid(parseProducts(readDataFile('products/products.json'))),
    vialPolicies: mustBeValid(parseVialPolicies(readDataFile('products/vial-policies.json'))),
    discardWords: mustBeValid(parseDiscardWords(readDataFile('products/discard-words.json'))),
    coldChain: mustBeValid(parseColdChainRules(readDataFile('cold-chain/rules.json'))),
    supplies: mustBeValid(parseSupplyPlanning(readDataFile('supplies/planning.json'))),
    signs: mustBeValid(parseSignCatalogue(readDataFile('reactions/signs.json'))),
    alerts: mustBeValid(parseAlertRules(readDataFile('reactions/alerts.json'))),
    cautions: mustBeValid(parseCautions(readDataFile('reactions/cautions.json'))),
    coreVariables: mustBeValid(parseCoreVariables(readDataFile('reactions/core-variables.json'))),
    codes: mustBeValid(checkData(codeMapSchema, readDataFile('exchange/vaccine-codes.json'))),
  }
}

function shippedPolicies(): (readonly [string, ReminderPolicy])[] {
  return listDataFiles('policies').map((name) => [
    name,
    mustBeValid(parseReminderPolicy(readDataFile(`policies/${name}.json`))),
  ])
}
