import { readFileSync } from 'node:fs'
import { Refusal } from '../core/refusals.ts'
import { parseSchedule } from '../core/schedule/parse-schedule.ts'
import type { Schedule } from '../core/schedule/schedule.ts'
import { listDataFiles, readDataFile } from '../platform/data-files.ts'

export const DEFAULT_SCHEDULE = 'who-2025-preferred'

/** Ids of the schedules that come with the service, sorted. */
export function shippedScheduleIds(): string[] {
  return listDataFiles('schedules')
}

/** The data of a schedule named by its id or by a file, unproven. */
export function readScheduleData(idOrFile: string): unknown {
  if (shippedScheduleIds().includes(idOrFile)) return readDataFile(`schedules/${idOrFile}.json`)
  const text = readText(idOrFile)
  try {
    const data: unknown = JSON.parse(text)
    return data
  } catch (cause) {
    throw new Refusal('schedule-invalid', `The file "${idOrFile}" is not JSON.`, { cause })
  }
}

function readText(file: string): string {
  try {
    return readFileSync(file, 'utf8')
  } catch (cause) {
    const known = shippedScheduleIds().join(', ')
    const detail = `There is no schedule or readable file "${file}"; the schedules here are ${known}.`
    throw new Refusal('schedule-not-found', detail, { cause })
  }
}

/** Loads a schedule by id or file; one that contradicts itself is refused with all its problems. */
export function loadSchedule(idOrFile: string): Schedule {
  const parsed = parseSchedule(readScheduleData(idOrFile))
  if (parsed.kind === 'schedule') return parsed.schedule
  const problems = parsed.problems.map(({ path, message }) => `${path}: ${message}`)
  throw new Refusal('schedule-invalid', `The schedule "${idOrFile}" cannot be used. ${problems.join('; ')}.`)
}
