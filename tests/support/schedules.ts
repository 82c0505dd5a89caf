import { readFileSync } from 'node:fs'
import { parseSchedule } from '../../src/core/schedule/parse-schedule.ts'
import type { Schedule } from '../../src/core/schedule/schedule.ts'

const loaded = new Map<string, Schedule>()

/** The raw data of a schedule file, for tests that read it by their own means or break it. */
export function scheduleData(file: string): unknown {
  const data: unknown = JSON.parse(readFileSync(file, 'utf8'))
  return data
}

/** A schedule by its path from the project's root. */
export function scheduleFromFile(file: string): Schedule {
  const known = loaded.get(file)
  if (known !== undefined) return known
  const parsed = parseSchedule(scheduleData(file))
  if (parsed.kind === 'invalid') throw new Error(`${file}: ${JSON.stringify(parsed.problems)}`)
  loaded.set(file, parsed.schedule)
  return parsed.schedule
}

/** A schedule shipped with the service, by its id. */
export function shippedSchedule(id: string): Schedule {
  return scheduleFromFile(`src/data/schedules/${id}.json`)
}
