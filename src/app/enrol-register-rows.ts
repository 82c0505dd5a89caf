import type { Day } from '../core/days/day.ts'
import type { Child, District, Dose } from '../core/model.ts'
import type { RegisterProblem } from '../core/register/register-columns.ts'
import type { RegisterChild } from '../core/register/register-row.ts'
import { enter, matchRow, openRoll } from '../core/register/roll.ts'
import { getChildren, planAgain } from '../store/children.ts'
import type { Transaction } from '../store/database.ts'
import { livingDosesOf } from '../store/doses.ts'
import { findRegistered, insertRegisterDoses, insertRegistered } from '../store/register.ts'
import type { NewRegisterDose, Takeover } from '../store/register.ts'
import type { Deps } from './deps.ts'
import { judgeChildren } from './judge-children.ts'
import type { ChildRecord } from './judge-children.ts'
import { makeCards } from './make-cards.ts'
import { announce } from './webhooks/announce.ts'

/** Where rows go, and in whose name. */
export interface RowsTarget {
  readonly district: District
  readonly by: string
  readonly today: Day
}

export interface RowsEnrolled {
  readonly enrolled: number
  /** Rows of children known before. */
  readonly known: number
  readonly doses: number
  readonly problems: readonly RegisterProblem[]
}

/**
 * Puts rows of a register on the register, set by set: new children with their lines and doses, new doses of known
 * ones. All of them are judged and counted here, and planned by the next sweep.
 */
export async function enrolRegisterRows(
  tx: Transaction,
  deps: Deps,
  target: RowsTarget,
  rows: readonly RegisterChild[],
): Promise<RowsEnrolled> {
  const { district, by, today } = target
  const takeover: Takeover = { districtId: district.id, by, today, now: deps.clock.now() }
  const { entries, problems } = await matchRows(tx, deps, district.id, rows)
  const enrolled = await enrol(
    tx,
    deps,
    takeover,
    entries.filter(({ isNew }) => isNew),
  )
  const doses = dosesOf(deps, entries)
  const stored = await insertRegisterDoses(tx, takeover, doses)
  const records = [
    ...recordsOf(enrolled, doses, takeover),
    ...(await knownRecords(
      tx,
      today,
      stored.map(({ childId }) => childId).filter((id) => !enrolled.has(id)),
    )),
  ]
  await judgeChildren(tx, deps, { district, today }, records)
  await announce(tx, deps, district, [
    ...[...enrolled.keys()].map((childId) => ({ kind: 'enrolment' as const, childId, subjectId: null })),
    ...stored.flatMap(({ childId, doseIds }) =>
      doseIds.map((subjectId) => ({ kind: 'dose' as const, childId, subjectId })),
    ),
  ])
  return {
    enrolled: enrolled.size,
    known: entries.length - enrolled.size,
    doses: stored.reduce((sum, one) => sum + one.doseIds.length, 0),
    problems,
  }
}

/** A row that goes in and the child it belongs to. */
interface Entry {
  readonly childId: string
  readonly isNew: boolean
  readonly row: RegisterChild
}

async function matchRows(
  tx: Transaction,
  deps: Deps,
  districtId: string,
  rows: readonly RegisterChild[],
): Promise<{ readonly entries: readonly Entry[]; readonly problems: readonly RegisterProblem[] }> {
  const found = await findRegistered(tx, {
    cardNumbers: rows.flatMap(({ cardNumber }) => cardNumber ?? []),
    born: rows.map(({ villageId, birthOn }) => ({ villageId, birthOn })),
  })
  const roll = openRoll(found.map((one) => ({ ...one, isElsewhere: one.districtId !== districtId })))
  const entries: Entry[] = []
  const problems: RegisterProblem[] = []
  for (const row of rows) {
    const match = matchRow(roll, row)
    if (match.kind === 'conflict') {
      problems.push(match.problem)
    } else if (match.kind === 'known') {
      entries.push({ childId: match.id, isNew: false, row })
    } else {
      const childId = deps.newId()
      enter(roll, { ...row, id: childId, isMerged: false, isElsewhere: false })
      entries.push({ childId, isNew: true, row })
    }
  }
  return { entries, problems }
}

/** Enrols new children and answers them by identifier. */
async function enrol(
  tx: Transaction,
  deps: Deps,
  takeover: Takeover,
  entries: readonly Entry[],
): Promise<ReadonlyMap<string, Child>> {
  const made = await makeCards(tx, entries.filter(({ row }) => row.cardNumber === null).length)
  const children = entries.map(({ childId, row }): Child => {
    const { villageId, name, sex, birthOn } = row
    return {
      id: childId,
      districtId: takeover.districtId,
      villageId,
      // There is a made card for every row without one.
      cardNumber: row.cardNumber ?? made.pop() ?? '',
      name,
      sex,
      birthOn,
      isBirthEstimated: false,
      birthWeightGrams: null,
      birthMinute: null,
      ownPlan: { putOff: [], risks: [] },
      status: 'active',
      statusOn: null,
      statusReason: null,
      awayUntil: null,
      enrolledOn: takeover.today,
      enrolledVia: 'import',
      mergedInto: null,
      birthGroup: null,
      birthOrder: null,
      isErased: false,
      isSharingBarred: false,
    }
  })
  const caregivers = entries.map(({ row: { phone: number, language } }) =>
    number === null ? null : { id: deps.newId(), lineId: deps.newId(), number, language },
  )
  await insertRegistered(
    tx,
    takeover,
    children.map((child, place) => ({ ...child, caregiver: caregivers[place] ?? null })),
  )
  return new Map(children.map((child) => [child.id, child]))
}

/** One dose a child, vaccine and day, also where two rows of the file are of one child. */
function dosesOf(deps: Deps, entries: readonly Entry[]): readonly NewRegisterDose[] {
  const doses = new Map<string, NewRegisterDose>()
  for (const { childId, row } of entries) {
    const { birthOn } = row
    for (const { vaccine, on: givenOn, typedNumber } of row.doses) {
      const key = `${childId} ${vaccine} ${givenOn}`
      if (!doses.has(key))
        doses.set(key, { id: deps.newId(), childId, birthOn, vaccine, givenOn, typedNumber })
    }
  }
  return [...doses.values()]
}

/** The records of children just enrolled, without asking the database for what was just written. */
function recordsOf(
  enrolled: ReadonlyMap<string, Child>,
  doses: readonly NewRegisterDose[],
  { by, now }: Takeover,
): readonly ChildRecord[] {
  const living = new Map([...enrolled.keys()].map((id): [string, Dose[]] => [id, []]))
  for (const { id, childId, vaccine, givenOn, typedNumber } of doses) {
    living.get(childId)?.push({
      id,
      childId,
      vaccine,
      givenOn,
      typedNumber,
      givenMinute: null,
      delivery: 'routine',
      isElsewhere: false,
      recordedBy: by,
      recordedVia: 'import',
      recordedAt: now,
      voidedAt: null,
      voidReason: null,
      vialId: null,
      vialFlags: [],
    })
  }
  return [...enrolled.values()].map((child) => ({ child, living: living.get(child.id) ?? [] }))
}

/** The records of children known before, who have new doses and are therefore planned again. */
async function knownRecords(
  tx: Transaction,
  today: Day,
  ids: readonly string[],
): Promise<readonly ChildRecord[]> {
  if (ids.length === 0) return []
  await planAgain(tx, ids, today)
  const living = await livingDosesOf(tx, ids)
  return (await getChildren(tx, ids)).map((child) => ({ child, living: living.get(child.id) ?? [] }))
}
