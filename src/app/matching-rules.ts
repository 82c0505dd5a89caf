/** How a district searches children and finds doubles: its own settings, or those that ship. */
import { checkData } from '../core/checked-data.ts'
import { doubleRulesSchema } from '../core/children/double-rules.ts'
import type { DoubleRules } from '../core/children/double-rules.ts'
import { searchRulesSchema } from '../core/children/search-rules.ts'
import type { SearchRules } from '../core/children/search-rules.ts'
import type { Db, Transaction } from '../store/database.ts'
import { findSetting, putSetting } from '../store/settings.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'
import type { Shelf } from './shelf.ts'

export async function searchRulesOf(
  db: Db,
  shelf: Pick<Shelf, 'search'>,
  districtId: string,
): Promise<SearchRules> {
  const own = checkData(searchRulesSchema, await findSetting(db, districtId, 'search'))
  // A setting kept by an older release that no longer fits gives way to what ships.
  return own.kind === 'valid' ? own.value : shelf.search
}

export async function doubleRulesOf(
  db: Db,
  shelf: Pick<Shelf, 'doubles'>,
  districtId: string,
): Promise<DoubleRules> {
  const own = checkData(doubleRulesSchema, await findSetting(db, districtId, 'doubles'))
  return own.kind === 'valid' ? own.value : shelf.doubles
}

export interface RuleChange<Rules> {
  readonly districtId: string
  readonly rules: Rules
  readonly by: string
}

/** From now on children of the district are searched so. */
export async function setSearchRules(
  tx: Transaction,
  deps: Deps,
  change: RuleChange<SearchRules>,
): Promise<void> {
  await keepRules(tx, deps, 'search', {
    ...change,
    before: await searchRulesOf(tx, deps.shelf, change.districtId),
  })
}

/** From now on doubles are found so. */
export async function setDoubleRules(
  tx: Transaction,
  deps: Deps,
  change: RuleChange<DoubleRules>,
): Promise<void> {
  await keepRules(tx, deps, 'doubles', {
    ...change,
    before: await doubleRulesOf(tx, deps.shelf, change.districtId),
  })
}

async function keepRules(
  tx: Transaction,
  deps: Deps,
  name: 'search' | 'doubles',
  { districtId, rules, by, before }: RuleChange<object> & { readonly before: object },
): Promise<void> {
  await putSetting(tx, { districtId, name, value: rules, changedBy: by, changedAt: deps.clock.now() })
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: `set-${name}-rules`,
    subject: { kind: 'district', id: districtId },
    before: { ...before },
    after: { ...rules },
  })
}
