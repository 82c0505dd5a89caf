import { formatCardNumber } from '../../core/card-number.ts'
import type { District, Person } from '../../core/model.ts'
import { alertSteps } from '../../core/reactions/alert-steps.ts'
import type { AlertRules } from '../../core/reactions/alert-rules.ts'
import type { AlertOnRecord } from '../../core/reactions/reaction.ts'
import { Refusal } from '../../core/refusals.ts'
import { say } from '../../core/texts/phrases.ts'
import type { PhraseBook } from '../../core/texts/phrases.ts'
import { changeAlert, insertAlert, listAlertsToStep, lockAlert } from '../../store/alerts.ts'
import type { NewAlert } from '../../store/alerts.ts'
import { getChild } from '../../store/children.ts'
import type { Transaction } from '../../store/database.ts'
import { getDistrict, getVillage, listHealthPosts } from '../../store/districts.ts'
import { tellPeople } from '../tell-people.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'

const BATCH = 100

/** Raises an alert and tells the district at once; one that is open already is not raised again. */
export async function raiseAlert(
  tx: Transaction,
  deps: Deps,
  wish: Omit<NewAlert, 'id' | 'raisedAt' | 'nextStepAt'>,
): Promise<AlertOnRecord> {
  const now = deps.clock.now()
  const raised = { ...wish, id: deps.newId(), raisedAt: now, nextStepAt: now }
  const { alert, isNew } = await insertAlert(tx, raised)
  return isNew ? takeSteps(tx, deps, alert) : alert
}

/** Takes the steps of alerts whose time has come. */
export async function stepAlerts(deps: Deps): Promise<void> {
  for (const id of await listAlertsToStep(deps.database.db, deps.clock.now(), BATCH)) {
    await deps.database.transaction(async (tx) => {
      const alert = await lockAlert(tx, id)
      if (alert?.closedAt === null) await takeSteps(tx, deps, alert)
    })
  }
}

/** Only a reaction goes to the next level; the others end when someone has taken them on. */
function rulesFor({ kind }: AlertOnRecord, rules: AlertRules): AlertRules {
  if (kind === 'reaction' || kind === 'cluster') return rules
  return { ...rules, steps: rules.steps.filter(({ until }) => until === 'acknowledged') }
}

function stepsLeft(deps: Deps, alert: AlertOnRecord) {
  const rules = rulesFor(alert, deps.shelf.alerts)
  const standing = alertSteps({ ...alert, reportedAt: alert.raisedAt }, rules)
  return standing.filter(({ step }) => !alert.stepsDone.includes(step))
}

async function takeSteps(tx: Transaction, deps: Deps, alert: AlertOnRecord): Promise<AlertOnRecord> {
  const now = deps.clock.now()
  const left = stepsLeft(deps, alert)
  const due = left.filter(({ at }) => at <= now)
  for (const { step } of due) await tellStep(tx, deps, alert, step)
  return changeAlert(tx, alert.id, {
    stepsDone: [...alert.stepsDone, ...due.map(({ step }) => step)],
    nextStepAt: left.find(({ at }) => at > now)?.at ?? null,
  })
}

/** The first step goes to the managers, the others to the officers too. */
async function tellStep(tx: Transaction, deps: Deps, alert: AlertOnRecord, step: string): Promise<void> {
  const district = await getDistrict(tx, alert.districtId)
  const roles: readonly Person['role'][] = step === 'tell-district' ? ['manager'] : ['manager', 'officer']
  await tellPeople(tx, deps, district, {
    roles,
    say: (book) => wording(tx, { alert, district, book }, step),
    purpose: 'alert',
    isUrgent: true,
  })
}

interface Wording {
  readonly alert: AlertOnRecord
  readonly district: District
  readonly book: PhraseBook
}

/** Longer words are cut, so that a text stays one that is read. */
const MOST_WORDS = 60

async function wording(tx: Transaction, { alert, district, book }: Wording, step: string): Promise<string> {
  const reference = String(alert.number)
  if (step === 'notify-next-level') return say(book, 'alert-next-level', { reference })
  if (step === 'start-investigation') return say(book, 'alert-investigate', { reference })
  const posts = await listHealthPosts(tx, district.id)
  const post = posts.find(({ id }) => id === alert.postId)?.name ?? district.name
  switch (alert.kind) {
    case 'cluster':
      return say(book, 'cluster-alert', { what: alert.words, reference })
    case 'cold-chain':
      return say(book, 'cold-alert', { post, degrees: alert.words, reference })
    case 'stock':
      return say(book, 'stock-alert', { post, what: alert.words, reference })
    case 'reaction':
    case 'family-words': {
      const key = step === 'tell-district' ? 'reaction-alert' : 'reaction-climbs'
      const words = alert.words.slice(0, MOST_WORDS)
      return say(book, key, { ...(await whose(tx, alert)), words, reference })
    }
  }
}

async function whose(tx: Transaction, { childId }: AlertOnRecord) {
  if (childId === null) return { card: '?', village: '?' }
  const child = await getChild(tx, childId)
  const village = (await getVillage(tx, child.villageId)).name
  return { card: formatCardNumber(child.cardNumber), village }
}

export type AlertDeed = 'acknowledged' | 'notified' | 'investigated' | 'closed'

export interface AlertMark {
  readonly districtId: string
  readonly alertId: string
  readonly deed: AlertDeed
  readonly by: string
}

/**
 * Notes what someone did about an alert: taking it on stops the climbing only. One that is taken on, told on and
 * investigated is closed; one that goes no further is closed when it is taken on.
 * @throws {Refusal} alert-not-found
 */
export async function markAlert(tx: Transaction, deps: Deps, mark: AlertMark): Promise<AlertOnRecord> {
  const { districtId, alertId, deed, by } = mark
  const alert = await lockAlert(tx, alertId)
  if (alert?.districtId !== districtId)
    throw new Refusal('alert-not-found', 'The district has no such alert.')
  const now = deps.clock.now()
  const marked = await changeAlert(tx, alertId, deedColumns(alert, deed, { at: now, by }))
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: `alert-${deed}`,
    subject: { kind: 'alert', id: alertId },
  })
  const next = stepsLeft(deps, marked).find(({ at }) => at > now)?.at ?? null
  const isDone = marked.acknowledgedAt !== null && stepsLeft(deps, marked).length === 0
  return changeAlert(tx, alertId, {
    nextStepAt: next,
    ...(isDone && marked.closedAt === null && isOver(marked) ? { closedAt: now } : {}),
  })
}

/** A reaction is over when it was told on and looked into; a fridge or a store when it is in order again. */
function isOver({ kind, notifiedAt, investigatedAt }: AlertOnRecord): boolean {
  if (kind === 'reaction' || kind === 'cluster') return notifiedAt !== null && investigatedAt !== null
  return kind === 'family-words'
}

function deedColumns(
  alert: AlertOnRecord,
  deed: AlertDeed,
  { at, by }: { readonly at: Date; readonly by: string },
) {
  switch (deed) {
    case 'acknowledged':
      return alert.acknowledgedAt === null ? { acknowledgedAt: at, acknowledgedBy: by } : {}
    case 'notified':
      return alert.notifiedAt === null ? { notifiedAt: at, notifiedBy: by } : {}
    case 'investigated':
      return alert.investigatedAt === null ? { investigatedAt: at, investigatedBy: by } : {}
    case 'closed':
      return { closedAt: at, nextStepAt: null }
  }
}
