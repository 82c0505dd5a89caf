import type { Day } from '../core/days/day.ts'
import type { ChildFacts } from '../core/schedule/forecast-types.ts'
import { Refusal } from '../core/refusals.ts'
import { parseSchedule } from '../core/schedule/parse-schedule.ts'
import { scheduleFor } from '../core/schedule/schedule-for.ts'
import type { Schedule } from '../core/schedule/schedule.ts'
import type { Db } from '../store/database.ts'
import { listPublishedCodes, listScheduleVersions } from '../store/schedule-versions.ts'
import type { PublishedVersion } from '../store/schedule-versions.ts'
import type { Shelf } from './shelf.ts'

/** Published versions made ready once; what was published never changes. */
const ready = new Map<string, Schedule>()

/**
 * Every version of a schedule, oldest first: the one that came with the release, and those published since.
 * @throws {Refusal} schedule-not-found
 */
export async function versionsOf(
  db: Db,
  shelf: Pick<Shelf, 'schedules'>,
  code: string,
): Promise<readonly Schedule[]> {
  const shipped = shelf.schedules.get(code)
  const published = (await listScheduleVersions(db, code)).map(madeReady)
  const versions = [...(shipped === undefined ? [] : [shipped]), ...published]
  if (versions.length > 0) return versions.toSorted((one, other) => one.effectiveOn - other.effectiveOn)
  const known = [...shelf.schedules.keys()].join(', ')
  throw new Refusal('schedule-not-found', `There is no schedule ${code}; the release knows ${known}.`)
}

function madeReady({ id, data }: PublishedVersion): Schedule {
  const known = ready.get(id)
  if (known !== undefined) return known
  const parsed = parseSchedule(data)
  if (parsed.kind === 'invalid') throw new Error(`the published schedule version ${id} can no longer be read`)
  ready.set(id, parsed.schedule)
  return parsed.schedule
}

/** The version a child follows on a day; before any came into force, the oldest. */
export function versionFor(versions: readonly Schedule[], child: ChildFacts, on: Day): Schedule {
  return scheduleFor(versions, child, on) ?? oldestOf(versions)
}

function oldestOf(versions: readonly Schedule[]): Schedule {
  const [oldest] = versions
  if (oldest === undefined) throw new Error('a schedule has at least one version')
  return oldest
}

/** The version by which a district is measured: the newest. */
export function newestOf(versions: readonly Schedule[]): Schedule {
  return versions.at(-1) ?? oldestOf(versions)
}

/** When the next version comes into force. */
export function nextChangeOn(versions: readonly Schedule[], today: Day): Day | null {
  return versions.find((version) => version.effectiveOn > today)?.effectiveOn ?? null
}

/** The codes of all schedules, shipped or published, sorted. */
export async function scheduleCodes(db: Db, shelf: Pick<Shelf, 'schedules'>): Promise<readonly string[]> {
  return [...new Set([...shelf.schedules.keys(), ...(await listPublishedCodes(db))])].sort()
}
