import { isLeftOut } from '../core/delivery/spending.ts'
import type { Schedule } from '../core/schedule/schedule.ts'
import type { District, Village } from '../core/model.ts'
import type { ReminderPolicy } from '../core/reminders/policy.ts'
import { closingAfter, sendingHours, sendingMoment } from '../core/reminders/sending-hours.ts'
import { measure } from '../core/texts/segments.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict, getVillage } from '../store/districts.ts'
import { hold } from '../store/hold.ts'
import { changeReminders, claimBundles, countRecalls, pickBundles } from '../store/reminders.ts'
import type { Bundle, ClaimedReminder, LaneNumbers } from '../store/reminders.ts'
import { storeTakenTexts } from '../store/texts-under-way.ts'
import type { TakenText } from '../store/texts-under-way.ts'
import { composeBundle } from './compose-bundle.ts'
import type { RunCounts } from './batch-run.ts'
import type { Deps } from './deps.ts'
import { todayIn } from './deps.ts'
import { leaseMs } from './lanes.ts'
import type { Lane } from './ports.ts'
import { refreshPlan } from './refresh-plan.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'
import { policyOf } from './shelf.ts'
import { budgetNow, spendingOf } from './spending.ts'
import { whyNotSend } from './why-not-send.ts'
import type { Withdrawn } from './why-not-send.ts'

/** Pause before a recall whose visit is not closed yet is looked at again. */
const WAIT_MS = 10 * 60_000

/** What a lane was given. */
export interface Taken {
  /** False when nothing was due in the lane. */
  readonly isAnyDue: boolean
  /** To be submitted now; stored as being sent. */
  readonly texts: readonly TakenText[]
  /** How many reminders were left, by what became of them. */
  readonly left: RunCounts
}

/**
 * Takes the reminders of a lane that go next, those of one line, kind and day as one text. Whether each still makes
 * sense is asked in the very transaction that takes it; what no longer does is withdrawn with the reason.
 */
export function takeBundles(deps: Deps, lane: Lane, numbers: LaneNumbers): Promise<Taken> {
  return deps.database.transaction(async (tx) => {
    // Workers of a lane take turns, so that each finds what the one before it left.
    await hold(tx, [`hand over ${lane.name}`])
    const now = deps.clock.now()
    const picked = await pickBundles(tx, numbers, now, lane.atOnce)
    const reminders = await claimCurrent(tx, deps, picked)
    const left: Record<string, number> = {}
    const taking = { tx, deps, lane, now, left, placeOf: placesOf(tx, deps) }
    const texts: TakenText[] = []
    for (const bundle of bundlesIn(reminders)) {
      const text = await takeBundle(taking, bundle)
      if (text !== null) texts.push(text)
    }
    if (texts.length > 0) await storeTakenTexts(tx, texts, now)
    return { isAnyDue: picked.length > 0, texts, left }
  })
}

/** Children whose plan is out of date (their session days were changed) are planned before anything is said of them. */
async function claimCurrent(
  tx: Transaction,
  deps: Deps,
  bundles: readonly Bundle[],
): Promise<readonly ClaimedReminder[]> {
  if (bundles.length === 0) return []
  const reminders = await claimBundles(tx, bundles, deps.clock.now())
  const placeOf = placesOf(tx, deps)
  const outdated = new Set<string>()
  for (const { childId, districtId, planAgainOn } of reminders) {
    if (planAgainOn === null) continue
    if (planAgainOn <= todayIn(deps, await placeOf.district(districtId))) outdated.add(childId)
  }
  for (const childId of outdated) await refreshPlan(tx, deps, childId)
  return outdated.size === 0 ? reminders : claimBundles(tx, bundles, deps.clock.now())
}

/** What reminders share, each asked for once. */
interface Places {
  readonly district: (id: string) => Promise<District>
  readonly village: (id: string) => Promise<Village>
  readonly vaccines: (scheduleCode: string) => Promise<Schedule['vaccines']>
  /** Whether the district's budget has run too low for a kind. */
  readonly isLeftOut: (districtId: string, kind: string) => Promise<boolean>
}

function placesOf(tx: Transaction, deps: Deps): Places {
  const district = once((id) => getDistrict(tx, id))
  const budget = once(async (id) => {
    const spending = await spendingOf(tx, deps.shelf, id)
    if (spending.partsPerMonth === null) return null
    return { spending, state: await budgetNow(tx, spending, await district(id), deps.clock.now()) }
  })
  return {
    district,
    isLeftOut: async (id, kind) => {
      const known = await budget(id)
      return known !== null && isLeftOut(known.spending, known.state, kind)
    },
    village: once((id) => getVillage(tx, id)),
    vaccines: once(async (code) => newestOf(await versionsOf(tx, deps.shelf, code)).vaccines),
  }
}

function once<T>(ask: (key: string) => Promise<T>): (key: string) => Promise<T> {
  const known = new Map<string, Promise<T>>()
  return (key) => {
    const answer = known.get(key) ?? ask(key)
    known.set(key, answer)
    return answer
  }
}

/** The reminders of each bundle, in the order of the bundles' first. */
function bundlesIn(reminders: readonly ClaimedReminder[]): Iterable<readonly ClaimedReminder[]> {
  const bundles = new Map<string, ClaimedReminder[]>()
  for (const reminder of reminders) {
    const key = `${reminder.lineId} ${reminder.kind} ${String(reminder.aboutOn)}`
    const bundle = bundles.get(key) ?? []
    bundle.push(reminder)
    bundles.set(key, bundle)
  }
  return bundles.values()
}

interface Taking {
  readonly tx: Transaction
  readonly deps: Deps
  readonly lane: Lane
  readonly now: Date
  readonly left: Record<string, number>
  readonly placeOf: Places
}

/** The text that carries what is left of the bundle; `null` when nothing is to be sent now. */
async function takeBundle(taking: Taking, reminders: readonly ClaimedReminder[]): Promise<TakenText | null> {
  const { tx, deps, now, placeOf } = taking
  const [any] = reminders
  if (any === undefined) return null
  const district = await placeOf.district(any.districtId)
  const policy = policyOf(deps.shelf, district.reminderPolicy)
  const relevant: ClaimedReminder[] = []
  for (const reminder of reminders) {
    const reason =
      whyNotSend(reminder) ?? (await overTries(tx, reminder, policy)) ?? (await overBudget(taking, reminder))
    if (reason === null) {
      relevant.push(reminder)
      continue
    }
    leave(taking, reason === 'wait' ? 'postponed' : `withdrawn ${reason}`)
    if (reason === 'wait') await postpone(tx, [reminder.id], new Date(now.getTime() + WAIT_MS), now)
    else await changeReminders(tx, [reminder.id], { status: 'withdrawn', reason }, now)
  }
  const [first] = relevant
  if (first === undefined) return null
  // One text names one day and one place; whoever is expected elsewhere gets a text of its own, next time.
  const together = relevant.filter((reminder) => isSameTold(reminder, first))
  const hours = sendingHours(policy, district.timeZone)
  const sendAt = sendingMoment(now, first.usefulUntil, hours)
  if (sendAt?.getTime() === now.getTime()) {
    const text = await textOf(taking, district, together, first)
    return { ...text, leaveBefore: closingAfter(now, hours) }
  }
  await leaveFor(taking, together, sendAt)
  return null
}

/** Outside the hours a text waits for the next opening, and lapses when it is of no use by then. */
async function leaveFor(taking: Taking, reminders: readonly ClaimedReminder[], sendAt?: Date): Promise<void> {
  const { tx, now } = taking
  const ids = reminders.map((reminder) => reminder.id)
  leave(taking, sendAt === undefined ? 'lapsed' : 'postponed', ids.length)
  if (sendAt === undefined) await changeReminders(tx, ids, { status: 'lapsed', reason: 'too-late' }, now)
  else await postpone(tx, ids, sendAt, now)
}

function leave({ left }: Taking, outcome: string, count = 1): void {
  left[outcome] = (left[outcome] ?? 0) + count
}

/** Recalls are planned before it is known how many of them are needed; the limit is kept when they leave. */
async function overTries(
  tx: Transaction,
  { kind, childId, appointmentId }: ClaimedReminder,
  { tries }: ReminderPolicy,
): Promise<Withdrawn | null> {
  if (!isRecallKind(kind)) return null
  const others = await countRecalls(tx, childId, { appointmentId, kind })
  return others >= tries.atMost ? 'tries-used-up' : null
}

async function overBudget(
  { placeOf }: Taking,
  { districtId, kind }: ClaimedReminder,
): Promise<Withdrawn | null> {
  return (await placeOf.isLeftOut(districtId, kind)) ? 'over-budget' : null
}

const isRecallKind = (kind: string): boolean => kind === 'missed-1' || kind === 'missed-2'

/** Whether two children are told the same day and place. */
function isSameTold(one: ClaimedReminder, other: ClaimedReminder): boolean {
  const isNextTold = one.kind === 'aftercare' || isRecallKind(one.kind)
  return one.villageId === other.villageId && (!isNextTold || one.nextSessionOn === other.nextSessionOn)
}

function postpone(tx: Transaction, ids: readonly string[], sendAt: Date, now: Date): Promise<void> {
  return changeReminders(tx, ids, { status: 'planned', sendAt }, now)
}

async function textOf(
  { deps, lane, now, placeOf }: Taking,
  district: District,
  reminders: readonly ClaimedReminder[],
  first: ClaimedReminder,
): Promise<Omit<TakenText, 'leaveBefore'>> {
  const body = composeBundle(deps.shelf, {
    kind: first.kind,
    aboutOn: first.aboutOn,
    reminders,
    first,
    district,
    village: await placeOf.village(first.villageId),
    vaccines: await placeOf.vaccines(district.scheduleCode),
  })
  const { parts } = measure(body)
  return {
    id: deps.newId(),
    districtId: district.id,
    number: first.number,
    body,
    parts,
    usefulUntil: first.usefulUntil,
    leaseUntil: new Date(now.getTime() + leaseMs(lane, parts)),
    reminderIds: reminders.map((reminder) => reminder.id),
  }
}
