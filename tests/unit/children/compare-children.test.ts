import { readFileSync } from 'node:fs'
import { z } from 'zod'
import {
  areTwins,
  comparedFacts,
  compareChildren,
  mayBeSameChild,
} from '../../../src/core/children/compare-children.ts'
import type { Identity } from '../../../src/core/children/compare-children.ts'
import { doubleRulesSchema } from '../../../src/core/children/double-rules.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'

const rules = doubleRulesSchema.parse(readDataFile('matching/doubles.json'))

const person = z.object({
  name: z.string(),
  sex: z.enum(['female', 'male']).nullable(),
  birthDate: z.string(),
  village: z.string(),
  phones: z.array(z.string()),
})
const pairs = z
  .array(z.object({ about: z.string(), isOneChild: z.boolean(), one: person, other: person }))
  .parse(JSON.parse(readFileSync(new URL('../../fixtures/children/pairs.json', import.meta.url), 'utf8')))

function identity({ name, sex, birthDate, village, phones }: z.infer<typeof person>): Identity {
  return {
    name,
    formerNames: [],
    sex,
    birthOn: mustParseDay(birthDate),
    isBirthEstimated: false,
    villageId: village,
    phones,
    birthGroup: null,
  }
}

const asha = identity({
  name: 'Asha Temba',
  sex: 'female',
  birthDate: '2026-01-20',
  village: 'Mbari',
  phones: ['+447700900001'],
})

describe('the rules for doubles on fifty pairs of records', () => {
  const judged = pairs.map((pair) => ({
    ...pair,
    comparison: compareChildren(identity(pair.one), identity(pair.other), rules),
  }))
  const count = (isFound: boolean, isOneChild: boolean): number =>
    judged.filter(
      (pair) => (pair.comparison.kind === 'one-child') === isFound && pair.isOneChild === isOneChild,
    ).length
  const [hits, falseAlarms, misses] = [count(true, true), count(true, false), count(false, true)]

  test('find nearly all true doubles and raise few false alarms', () => {
    const recall = hits / (hits + misses)
    const precision = hits / (hits + falseAlarms)
    process.stdout.write(
      `doubles: ${pairs.length} pairs, recall ${recall.toFixed(2)} (${hits}/${hits + misses}), precision ${precision.toFixed(2)} (${hits}/${hits + falseAlarms})\n`,
    )
    expect(pairs).toHaveLength(50)
    expect(recall).toBeGreaterThanOrEqual(0.92)
    expect(precision).toBeGreaterThanOrEqual(0.92)
  })

  test('never take twins for one child', () => {
    const found = judged.filter(
      ({ about, comparison }) => about.includes('twin') && comparison.kind === 'one-child',
    )
    expect(found).toEqual([])
  })

  test('judge a pair the same from either side', () => {
    for (const { one, other, comparison } of judged)
      expect(compareChildren(identity(other), identity(one), rules)).toMatchObject({ kind: comparison.kind })
  })
})

describe('two records', () => {
  test('give their reasons with the points of each', () => {
    const other = { ...asha, name: 'Temba Asha', birthOn: mustParseDay('2026-01-21'), sex: null }
    expect(compareChildren(asha, other, rules)).toEqual({
      kind: 'one-child',
      points: 13,
      reasons: [
        { fact: 'name', says: 'same, in another order', points: 6 },
        { fact: 'birth', says: '1 day apart', points: 3 },
        { fact: 'village', says: 'same', points: 1 },
        { fact: 'phone', says: 'shared', points: 3 },
      ],
    })
  })

  test('of children known to be of one birth are never one child, not even with one name', () => {
    const twin = { ...asha, birthGroup: 'a birth' }
    expect(compareChildren(twin, { ...twin }, rules)).toEqual({ kind: 'twins' })
  })

  test('with one phone and day and another name or sex are twins', () => {
    expect(areTwins(asha, { ...asha, name: 'Juma Temba', sex: 'male' }, rules)).toBe(true)
    expect(areTwins(asha, { ...asha, name: 'Neema Temba' }, rules)).toBe(true)
    expect(areTwins(asha, { ...asha, phones: [], name: 'Neema Temba' }, rules)).toBe(false)
  })

  test('are compared by every name the child ever had', () => {
    const renamed = { ...asha, name: 'Neema Said', phones: [], formerNames: ['Baby Temba', 'Asha Tembe'] }
    expect(compareChildren({ ...asha, phones: [] }, renamed, rules)).toMatchObject({ kind: 'one-child' })
  })

  test('are shown to each other at enrolment when the names are alike and neither sex nor twins speak against it', () => {
    const isShown = (change: Partial<Identity>) =>
      mayBeSameChild(asha, { ...asha, phones: [], ...change }, rules)
    expect(isShown({ name: 'Aisha Temba' })).toBe(true)
    expect(isShown({ name: 'Neema Temba' })).toBe(false)
    expect(isShown({ sex: 'male' })).toBe(false)
  })

  test('wait for a person by the line that the rules draw', () => {
    const other = { ...asha, phones: [] }
    const { points } = compareChildren(asha, other, rules) as { readonly points: number }
    expect(compareChildren(asha, other, { ...rules, reviewFrom: points })).toMatchObject({
      kind: 'one-child',
    })
    expect(compareChildren(asha, other, { ...rules, reviewFrom: points + 1 })).toMatchObject({
      kind: 'different',
    })
  })

  test('have facts that change with name, sex, birth, village and phone, and not with the side they stand on', () => {
    const facts = comparedFacts(asha, { ...asha, name: 'Aisha' })
    expect(comparedFacts({ ...asha, name: 'Aisha' }, asha)).toBe(facts)
    for (const change of [
      { name: 'Asha' },
      { sex: null },
      { birthOn: mustParseDay('2026-01-21') },
      { villageId: 'Kesho' },
      { phones: [] },
    ])
      expect(comparedFacts({ ...asha, ...change }, { ...asha, name: 'Aisha' })).not.toBe(facts)
  })
})
