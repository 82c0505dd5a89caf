import type { Day } from '../core/days/day.ts'
import { parseDay } from '../core/days/day.ts'
import type { District } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import type { ReminderPolicy } from '../core/reminders/policy.ts'
import { sendingHours, sendingMoment } from '../core/reminders/sending-hours.ts'
import { measure } from '../core/texts/segments.ts'
import type { Transaction } from '../store/database.ts'
import { getDistrict, getVillage } from '../store/districts.ts'
import { changeReminders, claimBundle, countRecalls } from '../store/reminders.ts'
import type { Bundle, ClaimedReminder } from '../store/reminders.ts'
import { insertTextOut } from '../store/texts.ts'
import type { NewTextOut } from '../store/texts.ts'
import { composeBundle } from './compose-bundle.ts'
import type { Deps } from './deps.ts'
import { todayIn } from './deps.ts'
import type { BundleName, Gateway } from './ports.ts'
import { refreshPlan } from './refresh-plan.ts'
import { newestOf, versionsOf } from './schedule-versions.ts'
import { policyOf } from './shelf.ts'
import { LEASE_MS, submitText } from './submit-text.ts'

/** Why a reminder is not sent after all. */
type Withdrawn =
  'stopped' | 'line-changed' | 'not-followed' | 'dose-given' | 'visit-changed' | 'no-visit' | 'tries-used-up'

/**
 * Sends the reminders of one line, kind and day as one text. Whether each still makes sense is asked in the very
 * transaction that takes it; what no longer does is withdrawn with the reason.
 */
export async function sendBundle(deps: Deps, gateway: Gateway, name: BundleName): Promise<void> {
  const text = await deps.database.transaction((tx) => takeBundle(tx, deps, bundleOf(name)))
  if (text !== null) await submitText(deps, gateway, text)
}

function bundleOf({ lineId, kind, aboutOn }: BundleName): Bundle {
  const day = parseDay(aboutOn)
  if (day === undefined) throw new Refusal('input-invalid', `${aboutOn} is not a day.`)
  return { lineId, kind, aboutOn: day }
}

/** The text that carries what is left of the bundle, stored as being sent; `null` when nothing is to be sent now. */
async function takeBundle(tx: Transaction, deps: Deps, bundle: Bundle): Promise<NewTextOut | null> {
  const claimed = await claimCurrent(tx, deps, bundle)
  if (claimed === null) return null
  const { district, policy, reminders } = claimed
  const now = deps.clock.now()
  const relevant: ClaimedReminder[] = []
  for (const reminder of reminders) {
    const reason = whyNot(bundle.kind, reminder) ?? (await overTries(tx, bundle.kind, reminder, policy))
    if (reason === null) relevant.push(reminder)
    else if (reason === 'wait') await putBack(tx, [reminder], new Date(now.getTime() + WAIT_MS))
    else await changeReminders(tx, [reminder.id], { status: 'withdrawn', reason }, now)
  }
  const [first] = relevant
  if (first === undefined) return null

  // One text names one day and one place; whoever is expected elsewhere gets a text of its own.
  const together = relevant.filter((reminder) => isSameTold(bundle.kind, reminder, first))
  await putBack(
    tx,
    relevant.filter((reminder) => !together.includes(reminder)),
    now,
  )
  const ids = together.map((reminder) => reminder.id)
  const sendAt = sendingMoment(now, first.usefulUntil, sendingHours(policy, district.timeZone))
  if (sendAt === undefined) {
    await changeReminders(tx, ids, { status: 'lapsed', reason: 'too-late' }, now)
    return null
  }
  if (sendAt > now) {
    await changeReminders(tx, ids, { status: 'planned', sendAt }, now)
    return null
  }
  const text = await textOf(tx, deps, { bundle, relevant: together, first, district, now })
  await insertTextOut(tx, text, new Date(now.getTime() + LEASE_MS))
  await changeReminders(tx, ids, { status: 'queued', textOutId: text.id }, now)
  return text
}

interface Claimed {
  readonly reminders: readonly ClaimedReminder[]
  readonly district: District
  readonly policy: ReminderPolicy
}

/** Children whose plan is out of date (their session days were changed) are planned before anything is said of them. */
async function claimCurrent(tx: Transaction, deps: Deps, bundle: Bundle): Promise<Claimed | null> {
  const reminders = await claimBundle(tx, bundle, deps.clock.now())
  const [first] = reminders
  if (first === undefined) return null
  const district = await getDistrict(tx, first.districtId)
  const policy = policyOf(deps.shelf, district.reminderPolicy)
  const today = todayIn(deps, district)
  const outdated = reminders.filter(({ planAgainOn }) => planAgainOn !== null && planAgainOn <= today)
  for (const { childId } of outdated) await refreshPlan(tx, deps, childId)
  return {
    reminders: outdated.length === 0 ? reminders : await claimBundle(tx, bundle, deps.clock.now()),
    district,
    policy,
  }
}

/** Recalls are planned before it is known how many of them are needed; the limit is kept when they leave. */
async function overTries(
  tx: Transaction,
  kind: string,
  { childId, appointmentId }: ClaimedReminder,
  { tries }: ReminderPolicy,
): Promise<Withdrawn | null> {
  if (kind !== 'missed-1' && kind !== 'missed-2') return null
  const others = await countRecalls(tx, childId, { appointmentId, kind })
  return others >= tries.atMost ? 'tries-used-up' : null
}

/** Kinds that speak of a visit to come; recalls speak of one that was missed. */
const BEFORE_THE_VISIT: ReadonlySet<string> = new Set(['ahead', 'eve', 'moved'])

/** Why a reminder makes no sense any more; `null` when it does. */
function whyNot(kind: string, reminder: ClaimedReminder): Withdrawn | 'wait' | null {
  if (reminder.isStopped) return 'stopped'
  if (!reminder.isCurrentLine) return 'line-changed'
  if (reminder.childStatus !== 'active') return 'not-followed'
  if (kind === 'aftercare') return reminder.vaccines.length > 0 ? null : 'visit-changed'
  if (BEFORE_THE_VISIT.has(kind)) return reminder.appointmentStatus === 'planned' ? null : 'visit-changed'
  return whyNoRecall(reminder)
}

/** A recall makes sense for a visit that was missed, while the child has not come since and has a day to come. */
function whyNoRecall(reminder: ClaimedReminder): Withdrawn | 'wait' | null {
  switch (reminder.appointmentStatus) {
    case 'planned':
      // The visit's day is over and nobody has closed it yet.
      return 'wait'
    case 'kept':
      return 'dose-given'
    case 'missed':
      if (reminder.hasComeSince) return 'dose-given'
      return reminder.nextSessionOn === null ? 'no-visit' : null
    default:
      return 'visit-changed'
  }
}

/** Whether two children are told the same day and place. */
function isSameTold(kind: string, one: ClaimedReminder, other: ClaimedReminder): boolean {
  const isNextTold = kind === 'aftercare' || kind === 'missed-1' || kind === 'missed-2'
  return one.villageId === other.villageId && (!isNextTold || one.nextSessionOn === other.nextSessionOn)
}

async function putBack(tx: Transaction, reminders: readonly ClaimedReminder[], sendAt: Date): Promise<void> {
  if (reminders.length === 0) return
  const ids = reminders.map((reminder) => reminder.id)
  await changeReminders(tx, ids, { status: 'planned', sendAt }, sendAt)
}

/** Pause before a recall whose visit is not closed yet is looked at again. */
const WAIT_MS = 10 * 60_000

interface TextFacts {
  readonly bundle: { readonly kind: string; readonly aboutOn: Day }
  readonly relevant: readonly ClaimedReminder[]
  readonly first: ClaimedReminder
  readonly district: District
  readonly now: Date
}

async function textOf(tx: Transaction, deps: Deps, facts: TextFacts): Promise<NewTextOut> {
  const { bundle, relevant, first, district, now } = facts
  const village = await getVillage(tx, first.villageId)
  const { vaccines } = newestOf(await versionsOf(tx, deps.shelf, district.scheduleCode))
  const body = composeBundle(deps.shelf, {
    ...bundle,
    reminders: relevant,
    first,
    district,
    village,
    vaccines,
  })
  return {
    id: deps.newId(),
    districtId: first.districtId,
    number: first.number,
    body,
    purpose: 'reminder',
    isUrgent: false,
    parts: measure(body).parts,
    inReplyTo: null,
    createdAt: now,
    sendAt: now,
    usefulUntil: first.usefulUntil,
  }
}
