import { addDays } from '../../core/days/day.ts'
import type { Person } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import { listPeople } from '../../store/people.ts'
import { noteHandedOut } from '../audit/note-handed-out.ts'
import { bookFor } from '../shelf.ts'
import { queueText } from '../queue-text.ts'
import type { OfVillage } from './by-village.ts'
import type { DistrictScope } from './district-scope.ts'
import { DUE_AHEAD_DAYS, followList } from './follow-lists.ts'
import type { FollowLine, FollowList } from './follow-lists.ts'
import { listCsv } from './list-file.ts'
import { listTexts } from './list-texts.ts'
import type { Visitor } from './page-session.ts'

/** More texts than this at once nobody walks through: the list has to be narrowed to a village. */
const MOST_TEXTS = 12

export interface SentList {
  readonly texts: number
  readonly workers: number
  /** Villages whose post has no vaccinator on record. */
  readonly withoutWorker: readonly string[]
}

/**
 * Sends a list by text: each vaccinator gets the villages of her own post and nobody else's, named as texts name
 * children. @throws {Refusal} list-too-long, village-without-vaccinator
 */
export async function sendList(
  scope: DistrictScope,
  visitor: Visitor,
  { list, villageId }: { readonly list: FollowList; readonly villageId: string | null },
): Promise<SentList> {
  const { deps, district, db } = scope
  const groups = await followList(scope, list, villageId)
  const vaccinators = (await listPeople(db, district.id)).filter(({ role }) => role === 'vaccinator')
  const workersOf = ({ village }: OfVillage<FollowLine>) =>
    vaccinators.filter(({ postId }) => postId === village.postId)
  const sendings = groups.flatMap((group) =>
    workersOf(group).flatMap((person) => textsFor(scope, list, person, group)),
  )
  const withoutWorker = groups
    .filter((group) => workersOf(group).length === 0)
    .map(({ village }) => village.name)
  proveSendable(vaccinators, sendings, withoutWorker)
  await deps.database.transaction(async (tx) => {
    for (const { person, body } of sendings) await queueText(tx, deps, { district, person, body })
    const change = {
      districtId: district.id,
      actor: visitor.holderId,
      act: 'send-list',
      subject: { kind: 'district', id: district.id },
      after: { list, villageId, texts: sendings.length },
    }
    await noteHandedOut(tx, deps, change, listCsv(groups))
  })
  return {
    texts: sendings.length,
    workers: new Set(sendings.map(({ person }) => person.id)).size,
    withoutWorker,
  }
}

interface Sending {
  readonly person: Person
  readonly body: string
}

function textsFor(
  { deps, district, today }: DistrictScope,
  list: FollowList,
  person: Person,
  { village, lines }: OfVillage<FollowLine>,
): Sending[] {
  const book = bookFor(deps.shelf, district, person.language)
  const until = addDays(today, DUE_AHEAD_DAYS)
  return listTexts({ list, district, village: village.name, lines, until, book }).map((body) => ({
    person,
    body,
  }))
}

function proveSendable(
  vaccinators: readonly Person[],
  sendings: readonly Sending[],
  withoutWorker: readonly string[],
): void {
  if (sendings.length === 0 && withoutWorker.length > 0)
    throw new Refusal('vaccinator-not-found', `No vaccinator is on record for ${withoutWorker.join(', ')}.`)
  const longest = Math.max(
    0,
    ...vaccinators.map(({ id }) => sendings.filter(({ person }) => person.id === id).length),
  )
  if (longest > MOST_TEXTS)
    throw new Refusal(
      'list-too-long',
      `This list would take ${longest} texts to one phone; ${MOST_TEXTS} are the most. Choose a village first.`,
    )
}
