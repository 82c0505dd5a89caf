import { addDays } from '../../core/days/day.ts'
import { localTimeAt } from '../../core/days/zoned-time.ts'
import type { District, HealthPost, Person } from '../../core/model.ts'
import { syringesInFigures } from '../../core/supplies/carry-list.ts'
import { say } from '../../core/texts/phrases.ts'
import { sayDay } from '../../core/texts/say-day.ts'
import { claimCarryNotice } from '../../store/carry-notices.ts'
import type { Transaction } from '../../store/database.ts'
import { listDistricts, listHealthPosts } from '../../store/districts.ts'
import { listPeople } from '../../store/people.ts'
import type { Deps } from '../deps.ts'
import { queueText } from '../queue-text.ts'
import { bookFor } from '../shelf.ts'
import { needOfPost } from './session-need.ts'
import type { PostNeed } from './session-need.ts'

/** By noon of the eve those who move their visit have mostly done so, and the store is still open. */
const TELL_FROM_MINUTE = 12 * 60

/** Tells each post on the eve of a session, once, what to carry to it. */
export async function tellWhatToCarry(deps: Deps): Promise<void> {
  const { db } = deps.database
  for (const district of await listDistricts(db)) {
    if (localTimeAt(deps.clock.now(), district.timeZone).minute < TELL_FROM_MINUTE) continue
    const people = await listPeople(db, district.id)
    for (const post of await listHealthPosts(db, district.id)) {
      const staff = people.filter(({ role, postId }) => role === 'vaccinator' && postId === post.id)
      if (staff.length > 0)
        await deps.database.transaction((tx) => tellPost(tx, deps, { district, post, staff }))
    }
  }
}

interface PostStaff {
  readonly district: District
  readonly post: HealthPost
  readonly staff: readonly Person[]
}

async function tellPost(tx: Transaction, deps: Deps, { district, post, staff }: PostStaff): Promise<void> {
  const at = deps.clock.now()
  const sessionOn = addDays(localTimeAt(at, district.timeZone).day, 1)
  if (!(await claimCarryNotice(tx, { postId: post.id, sessionOn, at }))) return
  const need = await needOfPost(tx, deps, { district, post, from: sessionOn })
  if (need.on !== sessionOn) return
  for (const person of staff)
    await queueText(tx, deps, { district, person, body: notice(deps, { district, person }, need) })
}

function notice(
  deps: Deps,
  { district, person }: { readonly district: District; readonly person: Person },
  { post, on, carry, carryOpened, materials }: PostNeed,
): string {
  const book = bookFor(deps.shelf, district, person.language)
  const day = on === null ? '' : sayDay(on, { language: book.language, calendar: district.calendar })
  const { syringes, diluents } = materials
  return [
    carry === ''
      ? say(book, 'carry-none-closed', { place: post.name, day })
      : say(book, 'carry', { place: post.name, day, what: carry }),
    ...(carryOpened.length === 0 ? [] : [say(book, 'carry-opened', { what: carryOpened.join(', ') })]),
    ...(syringes.length === 0 ? [] : [say(book, 'carry-syringes', { what: syringesInFigures(materials) })]),
    ...(diluents === 0 ? [] : [say(book, 'carry-diluents', { count: diluents })]),
  ].join(' ')
}
