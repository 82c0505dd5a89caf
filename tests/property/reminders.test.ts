import fc from 'fast-check'
import { addDays, mustParseDay } from '../../src/core/days/day.ts'
import { dayAt } from '../../src/core/days/zoned-time.ts'
import { planReminders } from '../../src/core/reminders/plan-reminders.ts'
import type { VisitToRemind } from '../../src/core/reminders/plan-reminders.ts'
import type { Reminders, ReminderStep } from '../../src/core/reminders/policy.ts'
import { REMINDER_PREFERENCES } from '../../src/core/reminders/preference.ts'
import type { ReminderPreference } from '../../src/core/reminders/preference.ts'
import { hoursOn, maySendAt, nextSendingMoment, sendInstant } from '../../src/core/reminders/sending-hours.ts'
import type { OpenHours, SendingHours } from '../../src/core/reminders/sending-hours.ts'

const ZONES = [...Intl.supportedValuesOf('timeZone'), 'UTC', 'Etc/GMT+12', 'Etc/GMT-14']
const START = mustParseDay('2025-01-01')
const RUNS = { numRuns: 1000 }
const MS_PER_DAY = 86_400_000

const zone = fc.constantFrom(...ZONES)
const day = fc.integer({ min: 0, max: 2500 }).map((days) => addDays(START, days))
const instant = fc
  .tuple(day, fc.nat({ max: MS_PER_DAY - 1 }))
  .map(([on, ms]) => new Date(on * MS_PER_DAY + ms))

const openHours: fc.Arbitrary<OpenHours> = fc
  .uniqueArray(fc.integer({ min: 0, max: 96 }), { minLength: 2, maxLength: 2 })
  .map((quarters) => ({ from: Math.min(...quarters) * 15, until: Math.max(...quarters) * 15 }))

const sendingHours: fc.Arbitrary<SendingHours> = fc.record({
  zone,
  byWeekday: fc.array(fc.option(openHours), { minLength: 7, maxLength: 7 }),
  closedOn: fc.array(day, { maxLength: 5 }).map((days) => new Set(days)),
})

const step = (min: number, max: number): fc.Arbitrary<ReminderStep> =>
  fc
    .tuple(fc.integer({ min, max }), fc.nat({ max: 10 }), fc.nat({ max: 1440 }))
    .map(([days, longer, at]) => ({ days, usefulUntil: { days: days + longer, at } }))

const reminders: fc.Arbitrary<Reminders> = fc.record(
  { ahead: step(-7, -1), eve: step(-3, -1), 'missed-1': step(1, 5), 'missed-2': step(5, 14) },
  { requiredKeys: [] },
)

const visit: fc.Arbitrary<VisitToRemind> = fc.record({
  visitOn: day,
  reminders,
  preference: fc.constantFrom(...(Object.keys(REMINDER_PREFERENCES) as ReminderPreference[])),
  triesMade: fc.nat({ max: 4 }),
  triesAtMost: fc.integer({ min: 1, max: 4 }),
})

/** A moment at most three weeks from the visit, on either side. */
const visitAndNow = fc
  .tuple(visit, fc.integer({ min: -21 * MS_PER_DAY, max: 21 * MS_PER_DAY }))
  .map(([given, ms]): [VisitToRemind, Date] => [given, new Date(given.visitOn * MS_PER_DAY + ms)])

describe('sending hours', () => {
  test('open inside themselves on the day they are for, in every zone throughout a year', () => {
    const wrong: string[] = []
    for (const name of ZONES) {
      const open = { from: 9 * 60, until: 18 * 60 }
      const hours = { zone: name, byWeekday: Array<OpenHours>(7).fill(open), closedOn: new Set<never>() }
      for (let ahead = 0; ahead < 365; ahead += 5) {
        const on = addDays(mustParseDay('2026-01-01'), ahead)
        const opening = sendInstant(on, hours)
        const isRight = opening !== undefined && maySendAt(opening, hours) && dayAt(opening, name) === on
        if (!isRight) wrong.push(`${name} ${ahead}`)
      }
    }
    expect(wrong).toEqual([])
  })

  test('whatever they are, open inside themselves or not at all', () => {
    fc.assert(
      fc.property(sendingHours, day, (hours, on) => {
        const opening = sendInstant(on, hours)
        if (opening === undefined) return
        expect(hoursOn(hours, on)).not.toBeNull()
        expect(maySendAt(opening, hours)).toBe(true)
        expect(dayAt(opening, hours.zone)).toBe(on)
      }),
      RUNS,
    )
  })

  test('let a text leave at a moment inside them that is not past, and at once where it may', () => {
    fc.assert(
      fc.property(sendingHours, instant, (hours, from) => {
        const moment = nextSendingMoment(from, hours)
        if (maySendAt(from, hours)) expect(moment).toEqual(from)
        if (moment === undefined) return
        expect(maySendAt(moment, hours)).toBe(true)
        expect(moment.getTime()).toBeGreaterThanOrEqual(from.getTime())
      }),
      RUNS,
    )
  })
})

describe('the texts about a visit', () => {
  test('leave inside the hours, not in the past and while they are of use', () => {
    fc.assert(
      fc.property(visitAndNow, sendingHours, ([given, now], hours) => {
        for (const { sendAt, sendOn, usefulUntil } of planReminders(given, hours, now).planned) {
          expect(maySendAt(sendAt, hours)).toBe(true)
          expect(sendAt.getTime()).toBeGreaterThanOrEqual(now.getTime())
          expect(sendAt.getTime()).toBeLessThanOrEqual(usefulUntil.getTime())
          expect(sendOn).toBe(dayAt(sendAt, hours.zone))
        }
      }),
      RUNS,
    )
  })

  test('are planned once or left out with a reason, each kind the policy foresees, no two on one day', () => {
    fc.assert(
      fc.property(visitAndNow, sendingHours, ([given, now], hours) => {
        const { planned, skipped } = planReminders(given, hours, now)
        const kinds = [...planned, ...skipped].map(({ kind }) => kind)
        expect(kinds.toSorted()).toEqual(Object.keys(given.reminders).toSorted())
        expect(new Set(planned.map(({ sendOn }) => sendOn)).size).toBe(planned.length)
      }),
      RUNS,
    )
  })

  test('are the same when planned again before the first of them leaves', () => {
    fc.assert(
      fc.property(visitAndNow, sendingHours, fc.nat(), ([given, now], hours, seed) => {
        const first = planReminders(given, hours, now)
        const firstLeaves = Math.min(...first.planned.map(({ sendAt }) => sendAt.getTime()))
        if (firstLeaves === Infinity) return
        const later = new Date(now.getTime() + (seed % (firstLeaves - now.getTime() + 1)))
        expect(planReminders(given, hours, later)).toEqual(first)
      }),
      RUNS,
    )
  })

  test('never exceed the limit of recalls', () => {
    fc.assert(
      fc.property(visitAndNow, sendingHours, ([given, now], hours) => {
        const { planned } = planReminders(given, hours, now)
        const recalls = planned.filter(({ kind }) => kind.startsWith('missed'))
        if (recalls.length > 0)
          expect(given.triesMade + recalls.length).toBeLessThanOrEqual(given.triesAtMost)
        if (given.triesMade >= given.triesAtMost) expect(planned).toEqual([])
      }),
      RUNS,
    )
  })
})
