import { formatDay, mustParseDay } from '../../../src/core/days/day.ts'
import { planAftercare, planReminders } from '../../../src/core/reminders/plan-reminders.ts'
import type { ReminderPlan, VisitToRemind } from '../../../src/core/reminders/plan-reminders.ts'
import { sendingHours } from '../../../src/core/reminders/sending-hours.ts'
import { aPolicy } from '../../support/default-policy.ts'

// Nairobi is three hours ahead of UTC all year; the policy that ships sends from 08:00 to 19:00, not on Sundays.
const zone = 'Africa/Nairobi'
const policy = aPolicy()
const hours = sendingHours(policy, zone)
const longBefore = new Date('2026-02-01T09:00:00Z')

const visit = (visitOn: string, changes: Partial<VisitToRemind> = {}): VisitToRemind => ({
  visitOn: mustParseDay(visitOn),
  reminders: policy.rules[0]?.reminders ?? {},
  preference: 'any',
  triesMade: 0,
  triesAtMost: policy.tries.atMost,
  ...changes,
})

const planned = (plan: ReminderPlan): string[] =>
  plan.planned.map(({ kind, sendAt }) => `${kind} ${sendAt.toISOString().slice(0, 16)}Z`)
const skipped = (plan: ReminderPlan): string[] => plan.skipped.map(({ kind, reason }) => `${kind} ${reason}`)

describe('the texts about a visit', () => {
  test('leave three days and a day before it, and two and nine days after', () => {
    const plan = planReminders(visit('2026-03-12'), hours, longBefore)

    expect(planned(plan)).toEqual([
      'ahead 2026-03-09T05:00Z',
      'eve 2026-03-11T05:00Z',
      'missed-1 2026-03-14T05:00Z',
      'missed-2 2026-03-21T05:00Z',
    ])
    expect(plan.planned.map(({ sendOn }) => formatDay(sendOn))).toEqual([
      '2026-03-09',
      '2026-03-11',
      '2026-03-14',
      '2026-03-21',
    ])
    expect(plan.planned.map(({ usefulUntil }) => usefulUntil.toISOString().slice(0, 16))).toEqual([
      '2026-03-09T16:00',
      '2026-03-12T06:00',
      '2026-03-20T16:00',
      '2026-04-01T16:00',
    ])
    expect(plan.skipped).toEqual([])
  })

  test('leave before a day without texts when they are about a visit to come, and after it when it was missed', () => {
    const monday = planReminders(visit('2026-03-16'), hours, longBefore)
    expect(planned(monday)[1]).toBe('eve 2026-03-14T05:00Z')

    const friday = planReminders(visit('2026-03-13'), hours, longBefore)
    expect(planned(friday)[2]).toBe('missed-1 2026-03-16T05:00Z')
  })

  test('are one a day: an eve that would join the text before it stays away', () => {
    const holidays = ['2026-03-13', '2026-03-14']
    const plan = planReminders(visit('2026-03-16'), sendingHours(aPolicy({ holidays }), zone), longBefore)

    expect(planned(plan)[0]).toBe('ahead 2026-03-12T05:00Z')
    expect(skipped(plan)).toEqual(['eve same-day'])
  })

  test('stay away before a visit that follows a closure longer than a week', () => {
    const holidays = Array.from({ length: 12 }, (_, index) => `2026-03-${index + 11}`)
    const plan = planReminders(visit('2026-03-23'), sendingHours(aPolicy({ holidays }), zone), longBefore)

    expect(planned(plan)).toEqual([
      'eve 2026-03-23T05:00Z',
      'missed-1 2026-03-25T05:00Z',
      'missed-2 2026-04-01T05:00Z',
    ])
    expect(skipped(plan)).toEqual(['ahead too-late'])
  })

  test('start with the eve for a child enrolled the day before', () => {
    const plan = planReminders(visit('2026-03-12'), hours, new Date('2026-03-11T07:30:00Z'))

    expect(planned(plan)[0]).toBe('eve 2026-03-11T07:30Z')
    expect(skipped(plan)).toEqual(['ahead too-late'])
  })

  test('start on the morning of the visit for a child enrolled the night before', () => {
    const plan = planReminders(visit('2026-03-12'), hours, new Date('2026-03-11T17:00:00Z'))
    expect(planned(plan)[0]).toBe('eve 2026-03-12T05:00Z')
  })

  test('leave out what comes too late for a child enrolled on the day itself', () => {
    const plan = planReminders(visit('2026-03-12'), hours, new Date('2026-03-12T08:00:00Z'))

    expect(skipped(plan)).toEqual(['ahead too-late', 'eve too-late'])
    expect(plan.planned.map(({ kind }) => kind)).toEqual(['missed-1', 'missed-2'])
  })

  test('are only those the policy foresees', () => {
    const { eve } = policy.rules[0]?.reminders ?? {}
    expect(planned(planReminders(visit('2026-03-12', { reminders: { eve } }), hours, longBefore))).toEqual([
      'eve 2026-03-11T05:00Z',
    ])
    expect(planReminders(visit('2026-03-12', { reminders: {} }), hours, longBefore)).toEqual({
      planned: [],
      skipped: [],
    })
  })

  test('before the visit do not go to a family that chose recalls only', () => {
    const plan = planReminders(visit('2026-03-12', { preference: 'recall-only' }), hours, longBefore)

    expect(plan.planned.map(({ kind }) => kind)).toEqual(['missed-1', 'missed-2'])
    expect(skipped(plan)).toEqual(['ahead not-wanted', 'eve not-wanted'])
  })

  test('go to the health worker where the family chose so', () => {
    const plan = planReminders(visit('2026-03-12', { preference: 'recall-to-provider' }), hours, longBefore)
    expect(plan.planned.map(({ to }) => to)).toEqual(['family', 'family', 'provider', 'provider'])
  })

  test.each([
    [0, 4, 'ahead eve missed-1 missed-2'],
    [2, 4, 'ahead eve missed-1 missed-2'],
    [3, 4, 'ahead eve missed-1'],
    [4, 4, ''],
    [5, 4, ''],
  ])(
    'stop at the limit: after %i recalls of at most %i, "%s" are planned',
    (triesMade, triesAtMost, kinds) => {
      const plan = planReminders(visit('2026-03-12', { triesMade, triesAtMost }), hours, longBefore)
      expect(plan.planned.map(({ kind }) => kind).join(' ')).toBe(kinds)
    },
  )

  test('keep their hour through a change of clocks (IANA: Cairo leaps from 00:00 to 01:00 on 24 April 2026)', () => {
    const cairo = sendingHours(policy, 'Africa/Cairo')
    const plan = planReminders(visit('2026-04-25'), cairo, longBefore)
    expect(planned(plan)).toEqual([
      'ahead 2026-04-22T06:00Z',
      'eve 2026-04-24T05:00Z',
      'missed-1 2026-04-27T05:00Z',
      'missed-2 2026-05-04T05:00Z',
    ])
  })
})

describe('the advice after a visit', () => {
  const advise = (givenOn: string, at: string) => planAftercare(visit(givenOn), hours, new Date(at))

  test('leaves at once on the day of the doses', () => {
    expect(planned(advise('2026-03-12', '2026-03-12T09:20:00Z'))).toEqual(['aftercare 2026-03-12T09:20Z'])
  })

  test('leaves the next morning when the doses are reported at night', () => {
    expect(planned(advise('2026-03-12', '2026-03-12T18:00:00Z'))).toEqual(['aftercare 2026-03-13T05:00Z'])
  })

  test('stays away when the doses are reported days later', () => {
    expect(skipped(advise('2026-03-10', '2026-03-12T09:00:00Z'))).toEqual(['aftercare too-late'])
  })

  test('stays away from a family that takes no texts', () => {
    const plan = planAftercare(
      visit('2026-03-12', { preference: 'none' }),
      hours,
      new Date('2026-03-12T09:20:00Z'),
    )
    expect(skipped(plan)).toEqual(['aftercare not-wanted'])
  })
})
