import { vialWarnings } from '../../../src/core/vials/vial-warnings.ts'
import { vialPolicy } from '../../support/shipped-data.ts'

const ZONE = 'Africa/Nairobi'
const policy = vialPolicy('who-2014')
const local = (text: string) => new Date(`${text}+03:00`)

describe('vialWarnings', () => {
  test('a vial kept for days is announced three days before, on the morning of its last day, and at its end', () => {
    const vial = {
      openedAt: local('2025-03-03T09:30'),
      discardBy: { at: local('2025-03-31T09:30'), because: 'open-days' as const },
    }

    expect(vialWarnings(vial, policy, ZONE)).toEqual([
      { kind: 'ends-soon', at: local('2025-03-28T08:00') },
      { kind: 'ends-today', at: local('2025-03-31T08:00') },
      { kind: 'time-up', at: local('2025-03-31T09:30') },
    ])
  })

  test('a vial kept for hours is announced an hour before', () => {
    const vial = {
      openedAt: local('2025-03-03T08:40'),
      discardBy: { at: local('2025-03-03T13:00'), because: 'session-end' as const },
    }

    expect(vialWarnings(vial, policy, ZONE)).toEqual([
      { kind: 'ends-soon', at: local('2025-03-03T12:00') },
      { kind: 'time-up', at: local('2025-03-03T13:00') },
    ])
  })

  test('moments that were past at the opening fall away', () => {
    const vial = {
      openedAt: local('2025-03-19T10:00'),
      discardBy: { at: local('2025-03-20T23:59:59.999'), because: 'expiry' as const },
    }

    expect(vialWarnings(vial, policy, ZONE).map(({ kind }) => kind)).toEqual(['ends-today', 'time-up'])
  })

  test('a vial whose time ends before the morning hour is not announced after its end', () => {
    const vial = {
      openedAt: local('2025-03-03T06:15'),
      discardBy: { at: local('2025-03-31T06:15'), because: 'open-days' as const },
    }

    expect(vialWarnings(vial, policy, ZONE).map(({ kind }) => kind)).toEqual(['ends-soon', 'time-up'])
  })
})
