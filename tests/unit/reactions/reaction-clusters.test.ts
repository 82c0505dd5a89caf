import { addDays, mustParseDay } from '../../../src/core/days/day.ts'
import { reactionClusters } from '../../../src/core/reactions/reaction-clusters.ts'
import type { ClusterFact } from '../../../src/core/reactions/reaction-clusters.ts'
import { alertRules } from '../../support/shipped-data.ts'

const START = mustParseDay('2026-03-01')

function fact(id: string, day: number, change: Partial<ClusterFact>): ClusterFact {
  return {
    id,
    vial: null,
    lot: null,
    post: null,
    reactionOn: addDays(START, day),
    weight: 'ordinary',
    ...change,
  }
}

const clusters = (...facts: ClusterFact[]) =>
  reactionClusters(facts, alertRules.clusters).map(({ by, key, reports }) => ({
    by,
    key,
    ids: reports.map(({ id }) => id),
  }))

describe('reactionClusters (two or more alike in time, place or vaccine: WHO Global manual, from memory)', () => {
  test('two reports from one vial are a cluster, whatever they weigh', () => {
    expect(
      clusters(fact('b', 9, { vial: 'V1' }), fact('a', 0, { vial: 'V1' }), fact('c', 0, { vial: 'V2' })),
    ).toEqual([{ by: 'vial', key: 'V1', ids: ['a', 'b'] }])
  })

  test('of one lot only serious ones count: mild fever is expected', () => {
    const mild = [fact('a', 0, { lot: 'L' }), fact('b', 1, { lot: 'L' })]
    const serious = mild.map((each) => ({ ...each, weight: 'serious' as const }))

    expect(clusters(...mild)).toEqual([])
    expect(clusters(...serious)).toEqual([{ by: 'lot', key: 'L', ids: ['a', 'b'] }])
  })

  test('reports too far apart are none', () => {
    const near = [0, 3, 6].map((day) => fact(`d${day}`, day, { post: 'P', weight: 'notable' }))
    const far = [0, 3, 7].map((day) => fact(`d${day}`, day, { post: 'P', weight: 'notable' }))

    expect(clusters(...near)).toHaveLength(1)
    expect(clusters(...far)).toEqual([])
  })

  test('an unknown vial, lot or post joins nothing', () => {
    expect(clusters(fact('a', 0, { weight: 'serious' }), fact('b', 0, { weight: 'serious' }))).toEqual([])
  })
})
