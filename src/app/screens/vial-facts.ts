import { addDays } from '../../core/days/day.ts'
import { startOfDay } from '../../core/days/day-bounds.ts'
import type { KnownLot, VialInUse, VialState } from '../../core/menus/facts.ts'
import type { StepOf } from '../../core/menus/step.ts'
import { IN_ORDER } from '../../core/vials/conditions.ts'
import { mayUse } from '../../core/vials/open-vial.ts'
import { listFridges } from '../../store/cold-chain.ts'
import { findVialByNumber, listVialsOpened } from '../../store/vials.ts'
import type { Worker } from '../answering/sender.ts'
import type { Conversation } from '../answering/talk.ts'
import { districtVaccines } from '../district-words.ts'
import { untilInWords } from '../vials/until.ts'
import { vialNow } from '../vials/vial-shelf.ts'
import type { VialNow } from '../vials/vial-shelf.ts'
import { vialsInUse } from '../vials/view-vial.ts'

/** What the steps about vials and refrigerators must know. */

/** How long a lot is worth offering. */
const LOT_DAYS = 180
/** More lots of one vaccine are not in use at once. */
const MOST_LOTS = 4

function inWords({ sender }: Conversation<Worker>, { vial }: VialNow): VialInUse {
  const until = untilInWords(sender.district, sender.language, vial.discardBy.at)
  return { vial: String(vial.number), vaccine: vial.vaccine, until }
}

/** The vials in use at the worker's post. */
export async function openVials(conversation: Conversation<Worker>): Promise<readonly VialInUse[]> {
  const { tx, deps, sender } = conversation
  const place = { districtId: sender.district.id, postId: sender.person.postId }
  return (await vialsInUse(tx, deps, place)).map((vial) => inWords(conversation, vial))
}

/** The vaccines a vial may hold here. */
export async function vaccineNames({ tx, deps, sender }: Conversation<Worker>): Promise<readonly string[]> {
  return (await districtVaccines(tx, deps.shelf, sender.district)).map(({ code }) => code)
}

/** Lots of a vaccine that were opened of late and are not expired, the newest first. */
export async function knownLots(
  { tx, deps, sender, today }: Conversation<Worker>,
  { vaccine }: StepOf<'lot'>,
): Promise<readonly KnownLot[]> {
  const { id, timeZone } = sender.district
  const since = startOfDay(addDays(today, -LOT_DAYS), timeZone)
  const opened = await listVialsOpened(tx, id, since, deps.clock.now())
  const fresh = opened
    .filter((vial) => vial.vaccine === vaccine && vial.expiryOn >= today)
    .toSorted((a, b) => b.openedAt.getTime() - a.openedAt.getTime())
  return fresh
    .filter(({ lot }, place) => fresh.findIndex((vial) => vial.lot === lot) === place)
    .slice(0, MOST_LOTS)
    .map(({ lot, expiryOn }) => ({ lot, expiry: expiryOn }))
}

/** A vial in use, and whether a dose may be drawn where its conditions hold. */
export async function vialState(
  conversation: Conversation<Worker>,
  { vial: number }: StepOf<'vial' | 'use-again'>,
): Promise<VialState | null> {
  const { tx, deps, sender } = conversation
  const vial = await findVialByNumber(tx, sender.district.id, Number(number))
  if (vial?.discardedAt !== null) return null
  const now = await vialNow(tx, deps.shelf, vial)
  const answer = mayUse(now.open, vial.vaccine, deps.clock.now(), IN_ORDER)
  return { ...inWords(conversation, now), stop: answer.kind === 'stop' ? answer.sentence : null }
}

/** The refrigerators of the worker's post of which a temperature is on record. */
export async function fridges({ tx, sender }: Conversation<Worker>): Promise<readonly string[]> {
  const all = await listFridges(tx, sender.district.id)
  return all.filter(({ postId }) => postId === sender.person.postId).map(({ fridge }) => fridge)
}
