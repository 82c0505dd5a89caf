/** Texts between the reminders they are made of and the gateway that takes them, many at a time. */
import { z } from 'zod'
import type { Db } from './database.ts'
import { numberStart } from './number-start.ts'
import { holdProviderIds } from './receipts.ts'
import { vaultOf } from './sealing/seal-client.ts'
import { statement } from './statements.ts'

/** A text composed of reminders held in the same transaction. */
export interface TakenText {
  readonly id: string
  readonly districtId: string
  readonly number: string
  readonly body: string
  readonly parts: number
  readonly usefulUntil: Date
  /** When the district's sending hours are over; it lives no longer than the attempt, and is not stored. */
  readonly leaveBefore: Date
  readonly leaseUntil: Date
  readonly reminderIds: readonly string[]
}

const storeTaken = statement('store-taken-texts', z.never())

/** Stores texts as being sent, and that their reminders leave with them. */
export async function storeTakenTexts(db: Db, texts: readonly TakenText[], now: Date): Promise<void> {
  const vault = vaultOf(db)
  const rows = texts.map((text) => ({
    id: text.id,
    district_id: text.districtId,
    number: vault.seal('number', text.number),
    number_start: numberStart(text.number),
    body: vault.seal('text', text.body),
    parts: text.parts,
    useful_until: text.usefulUntil,
    lease_until: text.leaseUntil,
    reminder_ids: text.reminderIds,
  }))
  await storeTaken(db, JSON.stringify(rows), now)
}

const freeRows = statement('free-abandoned-texts-out', z.object({ freed: z.int() }))

/** Takes back the texts whose sender died between taking and settling them; answers how many. */
export async function freeAbandonedTexts(db: Db, now: Date, mostDoubts: number): Promise<number> {
  return (await freeRows(db, now, mostDoubts))[0]?.freed ?? 0
}

/** A text that a gateway took over, and the ids of its parts. */
export interface HandedText {
  readonly id: string
  readonly providerIds: readonly string[]
}

const handOverRows = statement('hand-over-texts-out', z.never())

/** The gateway took texts over; their ids are kept for the receipts to come. */
export async function handOverTexts(
  db: Db,
  texts: readonly HandedText[],
  { gateway, at }: { readonly gateway: string; readonly at: Date },
): Promise<void> {
  await holdProviderIds(
    db,
    gateway,
    texts.flatMap(({ providerIds }) => providerIds),
  )
  const rows = texts.map(({ id, providerIds }) => ({ id, provider_ids: providerIds }))
  await handOverRows(db, JSON.stringify(rows), gateway, at)
}

/** A text of reminders of which nothing left. */
export interface GivenBack {
  readonly textId: string
  readonly sendAt: Date
  readonly reason: string
}

const giveBackRows = statement('give-back-reminders', z.never())

/** Removes texts of which nothing left; their reminders are planned again. */
export async function giveBackReminders(db: Db, texts: readonly GivenBack[], now: Date): Promise<void> {
  await giveBackRows(
    db,
    texts.map(({ textId }) => textId),
    texts.map(({ sendAt }) => sendAt.toISOString()),
    texts.map(({ reason }) => reason),
    now,
  )
}
