/** Calendars that others follow by a link: the session days of a post, the visits of one child. */
import { createHash } from 'node:crypto'
import { formatDay } from '../core/days/day.ts'
import type { District, Village } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import { labelChild } from '../core/texts/child-label.ts'
import { say } from '../core/texts/phrases.ts'
import { sayDay } from '../core/texts/say-day.ts'
import { findPlannedAppointment } from '../store/appointments.ts'
import { endCalendarLink, findCalendarLink, insertCalendarLink } from '../store/calendar-links.ts'
import type { CalendarLink, CalendarOf } from '../store/calendar-links.ts'
import { getChild } from '../store/children.ts'
import type { Db, Transaction } from '../store/database.ts'
import { getDistrict, getVillage, listHealthPosts, listVillages } from '../store/districts.ts'
import { linesOfChild } from '../store/people.ts'
import { calendarFile } from './calendar-file.ts'
import type { CalendarDay } from './calendar-file.ts'
import { isFollowed } from './child-facts.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { noteChange } from './note-change.ts'
import { sessionsOf } from './sessions-of.ts'
import { bookFor, policyOf } from './shelf.ts'
import { digest } from './tokens.ts'
import { districtOfChild } from './views.ts'

export interface LinkWish {
  readonly districtId: string
  readonly of: CalendarOf
  readonly by: string
}

/**
 * Makes a link; its secret is handed out once and kept nowhere.
 * @throws {Refusal} post-not-found, child-not-found
 */
export async function makeCalendarLink(
  tx: Transaction,
  deps: Deps,
  { districtId, of, by }: LinkWish,
): Promise<{ readonly link: CalendarLink; readonly path: string }> {
  await proveOwn(tx, districtId, of)
  // Two fresh identifiers hold 148 random bits.
  const secret = createHash('sha256').update(deps.newId()).update(deps.newId()).digest('base64url')
  const link = await insertCalendarLink(tx, {
    id: deps.newId(),
    districtId,
    of,
    secretHash: digest(secret),
    madeBy: by,
    madeAt: deps.clock.now(),
  })
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: 'make-calendar-link',
    subject: of.kind === 'post' ? { kind: 'post', id: of.postId } : { kind: 'child', id: of.childId },
  })
  return { link, path: `/calendars/${secret}.ics` }
}

async function proveOwn(db: Db, districtId: string, of: CalendarOf): Promise<void> {
  if (of.kind === 'child') {
    if ((await districtOfChild(db, of.childId)) === districtId) return
    throw new Refusal('child-not-found', 'The district has no such child.')
  }
  const posts = await listHealthPosts(db, districtId)
  if (!posts.some(({ id }) => id === of.postId))
    throw new Refusal('post-not-found', 'The district has no such health post.')
}

/** Ends a link: it shows nothing any more. @throws {Refusal} calendar-not-found */
export async function stopCalendarLink(
  tx: Transaction,
  deps: Deps,
  { districtId, linkId, by }: { readonly districtId: string; readonly linkId: string; readonly by: string },
): Promise<void> {
  if (!(await endCalendarLink(tx, districtId, linkId, deps.clock.now()))) throw notFound()
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: 'end-calendar-link',
    subject: { kind: 'calendar-link', id: linkId },
  })
}

function notFound(): Refusal {
  return new Refusal('calendar-not-found', 'There is no such calendar, or it was ended; ask for a new link.')
}

/** The calendar of a secret as it is now. @throws {Refusal} calendar-not-found */
export async function calendarOf(db: Db, deps: Deps, secret: string): Promise<string> {
  const link = await findCalendarLink(db, digest(secret))
  if (link === undefined) throw notFound()
  const district = await getDistrict(db, link.districtId)
  const { name, days } =
    link.of.kind === 'post'
      ? await sessionDays(db, deps, district, link.of.postId)
      : await visitDays(db, deps, district, link.of.childId)
  return calendarFile({ name, zone: district.timeZone, at: deps.clock.now() }, days)
}

interface NamedDays {
  readonly name: string
  readonly days: readonly CalendarDay[]
}

/** The session days of a post and of its villages, as far ahead as visits are booked. */
async function sessionDays(db: Db, deps: Deps, district: District, postId: string): Promise<NamedDays> {
  const post = (await listHealthPosts(db, district.id)).find(({ id }) => id === postId)
  if (post === undefined) throw notFound()
  const villages = (await listVillages(db, district.id)).filter((village) => village.postId === postId)
  const book = bookFor(deps.shelf, district, district.languages[0] ?? 'en')
  const policy = policyOf(deps.shelf, district.reminderPolicy)
  const days = bySession(villages).flatMap(([first, ...others]) =>
    sessionsOf(first, todayIn(deps, district), policy).days.map((on) => ({
      id: `session-${formatDay(on)}-${first.id}`,
      on,
      hours: first.sessionHours,
      summary: say(book, 'calendar-session', { place: first.sessionPlace }),
      place: first.sessionPlace,
      description: [first, ...others].map(({ name }) => name).join(', '),
    })),
  )
  return { name: post.name, days: days.toSorted((a, b) => a.on - b.on) }
}

/** Villages that meet at one place on the same days and hours. */
function bySession(villages: readonly Village[]): readonly (readonly [Village, ...Village[]])[] {
  const groups = new Map<string, [Village, ...Village[]]>()
  for (const village of villages) {
    const { sessionPlace, sessionHours, sessions } = village
    const key = JSON.stringify([sessionPlace, sessionHours, sessions])
    const known = groups.get(key)
    if (known === undefined) groups.set(key, [village])
    else known.push(village)
  }
  return [...groups.values()]
}

/** The visit that is planned for a child, named as texts name it. */
async function visitDays(db: Db, deps: Deps, district: District, childId: string): Promise<NamedDays> {
  const child = await getChild(db, childId)
  const [line] = await linesOfChild(db, childId)
  const book = bookFor(deps.shelf, district, line?.language ?? district.languages[0] ?? 'en')
  const label = labelChild(child.name, district.childNaming)
  const name = say(book, 'calendar-visit', { child: label })
  const visit = isFollowed(child) ? await findPlannedAppointment(db, childId) : undefined
  if (visit === undefined) return { name, days: [] }
  const { sessionHours: hours, sessionPlace: place } = await getVillage(db, visit.villageId)
  const day = sayDay(visit.sessionOn, { language: book.language, calendar: district.calendar, hours })
  return {
    name,
    days: [
      {
        id: `visit-of-${childId}`,
        on: visit.sessionOn,
        hours,
        summary: name,
        place,
        description: say(book, 'next-date', { child: label, count: 1, day, place }),
      },
    ],
  }
}
