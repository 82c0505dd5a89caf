import { alertSteps } from '../../../src/core/reactions/alert-steps.ts'
import type { Alert } from '../../../src/core/reactions/alert-steps.ts'
import { alertRules } from '../../support/shipped-data.ts'

const at = (time: string) => new Date(`2026-03-${time}Z`)
const alert: Alert = {
  reportedAt: at('03T08:00:00'),
  acknowledgedAt: null,
  notifiedAt: null,
  investigatedAt: null,
}
const steps = (change: Partial<Alert>) =>
  alertSteps({ ...alert, ...change }, alertRules).map(({ step }) => step)

describe('alertSteps', () => {
  test('tells the district at once, climbs after an hour, and draws the line at 24 and 48 hours (WHO, from memory)', () => {
    expect(alertSteps(alert, alertRules)).toEqual([
      { step: 'tell-district', at: at('03T08:00:00') },
      { step: 'tell-further', at: at('03T09:00:00') },
      { step: 'notify-next-level', at: at('04T08:00:00') },
      { step: 'start-investigation', at: at('05T08:00:00') },
    ])
  })

  test('an alert taken on within the hour does not climb', () => {
    expect(steps({ acknowledgedAt: at('03T08:59:00') })).not.toContain('tell-further')
  })

  test('an alert taken on too late has climbed, and the record shows it', () => {
    expect(steps({ acknowledgedAt: at('03T09:00:01') })).toContain('tell-further')
  })

  test('taking it on does not stand in for telling the next level', () => {
    const taken = { acknowledgedAt: at('03T08:05:00') }

    expect(steps(taken)).toContain('notify-next-level')
    expect(steps({ ...taken, notifiedAt: at('03T20:00:00') })).not.toContain('notify-next-level')
    expect(steps({ ...taken, investigatedAt: at('04T20:00:00') })).not.toContain('start-investigation')
  })
})
