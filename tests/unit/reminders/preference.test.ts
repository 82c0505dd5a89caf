import { readFileSync } from 'node:fs'
import {
  isReminderPreference,
  recipientOf,
  REMINDER_PREFERENCES,
} from '../../../src/core/reminders/preference.ts'
import type { ReminderPreference } from '../../../src/core/reminders/preference.ts'

/**
 * HL7 user-defined table 0215, publicity code, as the HL7 2.5.1 implementation guide for immunization messaging lists
 * it: code, and whether a reminder and a recall go to the family, to the provider or to nobody, and by telephone.
 */
const TABLE_0215: [code: string, reminder: string | null, recall: string | null, byPhone: boolean][] = [
  ['01', null, null, false],
  ['02', 'family', 'family', true],
  ['03', 'family', 'family', false],
  ['04', 'family', null, true],
  ['05', 'family', null, false],
  ['06', null, 'family', true],
  ['07', null, 'family', false],
  ['08', 'provider', 'provider', false],
  ['09', 'provider', 'family', true],
  ['10', 'provider', null, false],
  ['11', 'family', 'provider', true],
  ['12', null, 'provider', false],
]

describe("a family's choice of texts", () => {
  const preferences = Object.keys(REMINDER_PREFERENCES) as ReminderPreference[]

  test('is one for each code of HL7 table 0215', () => {
    const rows = Object.values(REMINDER_PREFERENCES).map((rule) => [
      rule.publicity,
      rule.reminder,
      rule.recall,
      rule.mayCall,
    ])
    expect(rows).toEqual(TABLE_0215)
  })

  test('can be told apart from every other by what it does', () => {
    const effects = Object.values(REMINDER_PREFERENCES).map(({ reminder, recall, mayCall }) =>
      JSON.stringify([reminder, recall, mayCall]),
    )
    expect(new Set(effects).size).toBe(12)
  })

  test('keeps reminders and recalls apart', () => {
    expect(recipientOf('ahead', 'recall-only')).toBeNull()
    expect(recipientOf('eve', 'recall-only')).toBeNull()
    expect(recipientOf('missed-1', 'recall-only')).toBe('family')
    expect(recipientOf('eve', 'reminder-only')).toBe('family')
    expect(recipientOf('missed-2', 'reminder-only')).toBeNull()
    expect(recipientOf('missed-1', 'recall-to-provider')).toBe('provider')
  })

  test('brings advice after a visit to the families that take any text at all', () => {
    const advised = preferences.filter((preference) => recipientOf('aftercare', preference) === 'family')
    const notAdvised = preferences.filter((preference) => recipientOf('aftercare', preference) === null)
    expect(advised).toHaveLength(8)
    expect(notAdvised).toEqual([
      'none',
      'to-provider',
      'reminder-to-provider-only',
      'recall-to-provider-only',
    ])
  })

  test('is recognised by its name', () => {
    expect(isReminderPreference('recall-only')).toBe(true)
    expect(isReminderPreference('toString')).toBe(false)
    expect(isReminderPreference('sometimes')).toBe(false)
  })
})

describe('docs/reminders.md', () => {
  test('lists the preferences as they are', () => {
    const page = readFileSync(new URL('../../../docs/reminders.md', import.meta.url), 'utf8')
    const said = (recipient: string | null) =>
      recipient === 'provider' ? 'health worker' : (recipient ?? '–')
    const rows = Object.entries(REMINDER_PREFERENCES).map(
      ([name, { publicity, reminder, recall, mayCall }]) =>
        [`\`${name}\``, publicity, said(reminder), said(recall), mayCall ? 'yes' : 'no'].join('|'),
    )
    const table = page
      .split('\n')
      .filter((line) => /^\| `[a-z-]+`\s*\| \d\d /.test(line))
      .map((line) => line.replace(/^\| | *\|$/g, '').replace(/ *\| */g, '|'))
    expect(table).toEqual(rows)
  })
})
