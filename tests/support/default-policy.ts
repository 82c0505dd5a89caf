import { readFileSync } from 'node:fs'
import { mustBeValid } from '../../src/core/checked-data.ts'
import { parseReminderPolicy } from '../../src/core/reminders/policy.ts'
import type { ReminderPolicy } from '../../src/core/reminders/policy.ts'

/** The reminder policy as it ships, unread, for tests that change a part of it. */
export const defaultPolicyFile = JSON.parse(
  readFileSync(new URL('../../src/data/policies/default.json', import.meta.url), 'utf8'),
) as Record<string, unknown>

/** The reminder policy as it ships, with other values where given. */
export function aPolicy(changes: Record<string, unknown> = {}): ReminderPolicy {
  return mustBeValid(parseReminderPolicy({ ...defaultPolicyFile, ...changes }))
}
