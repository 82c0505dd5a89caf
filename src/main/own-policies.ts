import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parseReminderPolicy } from '../core/reminders/policy.ts'
import type { ReminderPolicy } from '../core/reminders/policy.ts'
import { ConfigError } from '../platform/config.ts'

const VARIABLE = 'REMINDER_POLICIES_FOLDER'
const ENDING = '.json'

/**
 * The reminder policies that a programme keeps beside the release, by the names of their files.
 * @throws {ConfigError} naming every file that is no policy, and why
 */
export function readOwnPolicies(folder: string | null): ReadonlyMap<string, ReminderPolicy> {
  if (folder === null) return new Map()
  const read = filesIn(folder).map((file) => ({
    file,
    checked: parseReminderPolicy(jsonIn(join(folder, file))),
  }))
  const problems = read.flatMap(({ file, checked }) =>
    checked.kind === 'valid' ? [] : checked.problems.map((problem) => `${VARIABLE}: ${file}: ${problem}`),
  )
  if (problems.length > 0) throw new ConfigError(problems)
  return new Map(
    read.flatMap(({ file, checked }) =>
      checked.kind === 'valid' ? [[file.slice(0, -ENDING.length), checked.value] as const] : [],
    ),
  )
}

function filesIn(folder: string): string[] {
  try {
    return readdirSync(folder)
      .filter((file) => file.endsWith(ENDING))
      .sort()
  } catch {
    throw new ConfigError([`${VARIABLE}: ${folder} cannot be read`])
  }
}

/** What is no JSON is no policy either; the check says so. */
function jsonIn(path: string): unknown {
  try {
    return JSON.parse(readFileSync(path, 'utf8'))
  } catch {
    return null
  }
}
