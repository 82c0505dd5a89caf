import { missingReadings } from '../../../src/core/cold-chain/missing-readings.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { coldChainRules } from '../../support/shipped-data.ts'

const ZONE = 'Africa/Nairobi'
const local = (text: string) => new Date(`${text}+03:00`)
const on = mustParseDay

describe('missingReadings', () => {
  test('finds each half-day without a reading, and waits for the end of the present one', () => {
    const readAt = ['2026-03-01T08:00', '2026-03-01T17:00', '2026-03-02T16:30'].map(local)
    const span = { fromOn: on('2026-03-01'), until: local('2026-03-03T14:00'), zone: ZONE }

    expect(missingReadings(readAt, span, coldChainRules)).toEqual([
      { on: on('2026-03-02'), part: 'morning' },
      { on: on('2026-03-03'), part: 'morning' },
    ])
  })

  test('two readings in one half-day do not make up for the other', () => {
    const readAt = ['2026-03-01T08:00', '2026-03-01T09:00'].map(local)
    const span = { fromOn: on('2026-03-01'), until: local('2026-03-02T00:00'), zone: ZONE }

    expect(missingReadings(readAt, span, coldChainRules)).toEqual([
      { on: on('2026-03-01'), part: 'afternoon' },
    ])
  })

  test('halves of a day are those of the place', () => {
    const span = { fromOn: on('2026-03-01'), until: local('2026-03-01T12:00'), zone: ZONE }

    expect(missingReadings([new Date('2026-03-01T08:59:59Z')], span, coldChainRules)).toEqual([])
    expect(missingReadings([new Date('2026-03-01T09:00:00Z')], span, coldChainRules)).toHaveLength(1)
  })
})
