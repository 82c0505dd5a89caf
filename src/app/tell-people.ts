import type { District, Person } from '../core/model.ts'
import type { PhraseBook } from '../core/texts/phrases.ts'
import type { Transaction } from '../store/database.ts'
import { listPeople } from '../store/people.ts'
import type { Deps } from './deps.ts'
import { queueText } from './queue-text.ts'
import type { Telling } from './queue-text.ts'
import { bookFor } from './shelf.ts'

interface Word extends Pick<Telling, 'purpose' | 'isUrgent'> {
  readonly roles: readonly Person['role'][]
  /** What a person is told, in the words of their language. */
  readonly say: (book: PhraseBook) => string | Promise<string>
}

/** Tells everyone of some roles in a district something nobody asked for, each in their language. */
export async function tellPeople(
  tx: Transaction,
  deps: Deps,
  district: District,
  { roles, say, ...how }: Word,
): Promise<void> {
  const people = await listPeople(tx, district.id)
  for (const person of people.filter(({ role }) => roles.includes(role))) {
    const body = await say(bookFor(deps.shelf, district, person.language))
    await queueText(tx, deps, { ...how, district, person, body })
  }
}
