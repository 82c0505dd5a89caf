import type { NamedPlace, WorkerFacts } from '../../core/menus/facts.ts'
import type { StepOf } from '../../core/menus/step.ts'
import { listMissedChildren } from '../../store/defaulters.ts'
import { getVillage, listVillages } from '../../store/districts.ts'
import { coverageByText } from '../answering/acts/figures.ts'
import { lastEntry } from '../answering/acts/undo.ts'
import type { Worker } from '../answering/sender.ts'
import type { Conversation } from '../answering/talk.ts'

/** What the steps of enrolment, undoing and figures must know. */

/** The villages by name; those of the worker's own post stand first. */
export async function villageNames(conversation: Conversation<Worker>): Promise<readonly string[]> {
  return (await ownVillagesFirst(conversation)).map(({ name }) => name)
}

/** The villages of the district; those of the worker's own post stand first. */
export async function ownVillagesFirst({ tx, sender }: Conversation<Worker>): Promise<readonly NamedPlace[]> {
  const { district, person } = sender
  const all = await listVillages(tx, district.id)
  const own = all.filter((village) => village.postId === person.postId)
  const others = all.filter((village) => village.postId !== person.postId)
  return [...own, ...others].map(({ id, name }) => ({ id, name }))
}

/** The worker's newest entry that stands. */
export async function lastEntryInWords(conversation: Conversation<Worker>): Promise<string | null> {
  return (await lastEntry(conversation))?.what ?? null
}

/** The villages of the worker's district. */
export async function villages({ tx, sender }: Conversation<Worker>): Promise<readonly NamedPlace[]> {
  const all = await listVillages(tx, sender.district.id)
  return all.map(({ id, name }) => ({ id, name }))
}

/** A village by its identifier, or the whole district. */
async function placeOf({ tx, sender }: Conversation<Worker>, villageId: string | null): Promise<string> {
  return villageId === null ? sender.district.name : (await getVillage(tx, villageId)).name
}

/** Coverage of a village or the district, in the words of a text. */
export async function coverageFigures(
  conversation: Conversation<Worker>,
  { villageId }: StepOf<'coverage'>,
): Promise<string> {
  const village = villageId === null ? null : await placeOf(conversation, villageId)
  return (await coverageByText(conversation, { act: 'coverage', village })).body
}

/** How many children missed their last visit and have not come since. */
export async function missedCount(
  conversation: Conversation<Worker>,
  { villageId }: StepOf<'missed'>,
): Promise<WorkerFacts['missed']> {
  const { tx, sender } = conversation
  const area = { districtId: sender.district.id, postId: sender.person.postId, villageId }
  return {
    place: await placeOf(conversation, villageId),
    count: (await listMissedChildren(tx, area)).length,
  }
}
