import { z } from 'zod'
import { checkCardNumber } from '../../core/card-number.ts'
import type { Child } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { changesOfChild } from '../../store/changes.ts'
import type { StoredChange } from '../../store/changes.ts'
import { findChildByCard } from '../../store/children.ts'
import type { Db } from '../../store/database.ts'
import { listPeople } from '../../store/people.ts'
import { listTokens } from '../../store/tokens.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { districtOfChild } from '../views.ts'

/** Who saw or changed a child; reading this is noted too. @throws {Refusal} child-not-found */
export async function showRecordOf(deps: Deps, card: string): Promise<StoredChange[]> {
  const { db } = deps.database
  const child = await childWithCard(db, card)
  const entries = await changesOfChild(db, child.id)
  await noteChange(db, deps, {
    districtId: child.districtId,
    actor: 'duebell',
    act: 'view-record',
    subject: { kind: 'child', id: child.id },
  })
  return entries
}

/** An entry of the record as it is shown. */
export interface RecordLine {
  readonly at: Date
  /** A token's name, a worker's name, `duebell` itself or a webhook. */
  readonly who: string
  readonly act: string
  /** What was read or taken; null where the act says it all. */
  readonly what: string | null
  /** Whether it told of other children too. */
  readonly isAmongOthers: boolean
}

const told = z.object({
  page: z.string().optional(),
  list: z.string().optional(),
  asked: z.string().nullish(),
  askedBy: z.string().nullish(),
})

/** Who saw, got or changed what of a child, the newest first. @throws {Refusal} child-not-found */
export async function recordOfChild(db: Db, childId: string): Promise<RecordLine[]> {
  const districtId = await districtOfChild(db, childId)
  const known = [...(await listPeople(db, districtId)), ...(await listTokens(db))]
  const names = new Map(known.map(({ id, name }) => [id, name]))
  const entries = await changesOfChild(db, childId)
  return entries
    .map(({ happenedAt, actor, act, subjectId, after }) => {
      const { page, list, asked, askedBy } = told.catch({}).parse(after ?? {})
      return {
        at: happenedAt,
        who: names.get(actor) ?? actor,
        act,
        what: page ?? list ?? asked ?? askedBy ?? null,
        isAmongOthers: subjectId !== childId,
      }
    })
    .reverse()
}

/** The child with this card, as somebody typed it. @throws {Refusal} child-not-found */
export async function childWithCard(db: Db, card: string): Promise<Child> {
  const checked = checkCardNumber(card)
  const child = checked.kind === 'card' ? await findChildByCard(db, checked.number) : undefined
  if (child !== undefined) return child
  throw new Refusal('child-not-found', `There is no child with the card ${card}; check the number.`)
}
