import type { Day } from '../../core/days/day.ts'
import type { DistrictTerms, RetentionKind } from '../../core/retention/terms.ts'
import type { District } from '../../core/model.ts'
import { listDistricts } from '../../store/districts.ts'
import { countChildrenPast, KEPT, isChildPast, listChildrenPast } from '../../store/retention.ts'
import type { ChildrenPast, KindOfRows } from '../../store/retention.ts'
import type { Deps } from '../deps.ts'
import { todayIn } from '../deps.ts'
import { eachInTurn } from '../each-in-turn.ts'
import { lockChild } from '../../store/children.ts'
import { noteChange } from '../note-change.ts'
import { eraseChild } from './erase-child.ts'
import { termsOf } from './retention-terms.ts'

/** Rows ended in one transaction, so that nobody waits long for one. */
const BATCH = 500
const CHILDREN_BATCH = 50
const DAY_MS = 86_400_000

/** What of one kind is past its term, in a district or in none. */
export interface PastTerm {
  readonly district: string | null
  readonly kind: RetentionKind
  readonly days: number
  readonly count: number
}

interface Place {
  readonly district: District | null
  readonly terms: Readonly<Partial<Record<RetentionKind, number | null>>>
}

/** How much is past its term; nothing is changed. */
export async function listPastTerm(deps: Deps): Promise<PastTerm[]> {
  return throughAll(deps, ({ district, kind, days }) =>
    isOfChildren(kind)
      ? countChildrenPast(deps.database.db, childrenPast(deps, district, kind, days))
      : KEPT[kind].count(deps.database.db, rowsPast(deps, district, days)),
  )
}

/**
 * Ends what is past its term: words and numbers of texts go, children are known no more by name, the rest is deleted.
 * What is counted stays. Many small transactions; stopped halfway, the next run goes on. Each run is on record.
 */
export async function retain(deps: Deps): Promise<PastTerm[]> {
  const ended = await throughAll(deps, ({ district, kind, days }) =>
    isOfChildren(kind)
      ? endChildren(deps, childrenPast(deps, district, kind, days))
      : endRows(deps, kind, rowsPast(deps, district, days)),
  )
  for (const district of [...(await listDistricts(deps.database.db)), null])
    await noteRun(
      deps,
      district,
      ended.filter((each) => each.district === (district?.name ?? null)),
    )
  return ended
}

interface Term {
  readonly kind: RetentionKind
  readonly days: number
  readonly district: District | null
}

/** Children first: their texts go with them. */
async function throughAll(deps: Deps, work: (each: Term) => Promise<number>): Promise<PastTerm[]> {
  const found: PastTerm[] = []
  for (const { district, terms } of await places(deps))
    for (const [kind, days] of Object.entries(terms) as [RetentionKind, number | null][])
      if (days !== null) {
        const count = await work({ kind, days, district })
        found.push({ district: district?.name ?? null, kind, days, count })
      }
  return found
}

/** Each district by its terms; what belongs to none by those that ship. */
async function places(deps: Deps): Promise<Place[]> {
  const { shelf, database } = deps
  const { textsIn, reminders, replies } = shelf.retention.district
  const found: Place[] = []
  for (const district of await listDistricts(database.db))
    found.push({ district, terms: childrenFirst(await termsOf(database.db, shelf, district.id)) })
  return [...found, { district: null, terms: { textsIn, reminders, replies, ...shelf.retention.service } }]
}

const childrenFirst = ({ closedChildren, grownChildren, ...others }: DistrictTerms) => ({
  closedChildren,
  grownChildren,
  ...others,
})

type KindOfChildren = Exclude<RetentionKind, KindOfRows>
const isOfChildren = (kind: RetentionKind): kind is KindOfChildren =>
  kind === 'closedChildren' || kind === 'grownChildren'

const rowsPast = ({ clock }: Deps, district: District | null, days: number) => ({
  districtId: district?.id ?? null,
  before: new Date(clock.now().getTime() - days * DAY_MS),
})

function childrenPast(
  deps: Deps,
  district: District | null,
  kind: KindOfChildren,
  days: number,
): ChildrenPast {
  if (district === null) throw new Error('every child is of a district')
  const day = (todayIn(deps, district) - days) as Day
  return {
    districtId: district.id,
    ...(kind === 'grownChildren' ? { bornBefore: day } : { closedBefore: day }),
  }
}

async function endRows(
  { database, clock }: Deps,
  kind: KindOfRows,
  past: ReturnType<typeof rowsPast>,
): Promise<number> {
  let ended = 0
  for (;;) {
    const count = await database.transaction((tx) => KEPT[kind].end(tx, past, BATCH, clock.now()))
    ended += count
    if (count < BATCH) return ended
  }
}

function endChildren(deps: Deps, past: ChildrenPast): Promise<number> {
  return eachInTurn(
    deps,
    () => listChildrenPast(deps.database.db, past, CHILDREN_BATCH),
    async (tx, childId) => {
      // It may have come back since it was listed.
      await lockChild(tx, childId)
      if (await isChildPast(tx, past, childId))
        await eraseChild(tx, deps, { childId, reason: 'term-over', askedBy: 'nobody', by: 'duebell' })
    },
  )
}

async function noteRun(deps: Deps, district: District | null, ended: readonly PastTerm[]): Promise<void> {
  const gone = ended.filter(({ count }) => count > 0)
  if (district !== null && gone.length === 0) return
  const subject = district === null ? { kind: 'service', id: null } : { kind: 'district', id: district.id }
  const after = Object.fromEntries(gone.map(({ kind, count }) => [kind, count]))
  const districtId = district?.id ?? null
  await noteChange(deps.database.db, deps, { districtId, actor: 'duebell', act: 'retain', subject, after })
}
