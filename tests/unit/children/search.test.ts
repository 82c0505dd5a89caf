import { readFileSync } from 'node:fs'
import { z } from 'zod'
import {
  birthWindow,
  comparedWindow,
  rankCandidates,
  searchProblem,
} from '../../../src/core/children/search.ts'
import type { ChildQuestion, Searched } from '../../../src/core/children/search.ts'
import { searchRulesSchema } from '../../../src/core/children/search-rules.ts'
import { formatDay, mustParseDay } from '../../../src/core/days/day.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'

const rules = searchRulesSchema.parse(readDataFile('matching/search.json'))

const child = (change: Partial<Searched> = {}): Searched => ({
  id: 'a',
  cardNumber: '48217739',
  name: 'Asha Temba',
  formerNames: [],
  sex: 'female',
  birthOn: mustParseDay('2026-01-20'),
  villageId: 'Mbari',
  phones: ['+447700900001'],
  ...change,
})

const found = (question: ChildQuestion, ...children: Searched[]) =>
  rankCandidates(question, children, rules).map(({ id }) => id)

describe('what a search must hold', () => {
  test('one fact is too few, and it is said which others would do', () => {
    expect(searchProblem({ name: 'Asha' }, rules)).toEqual({
      kind: 'facts-missing',
      facts: ['birth', 'village', 'phone', 'card'],
      needed: 1,
    })
    expect(searchProblem({ name: 'Asha', birth: '2026' }, rules)).toBeUndefined()
  })

  test('the sex is no fact to find a child by', () => {
    expect(searchProblem({ name: 'Asha', sex: 'female' }, rules)).toMatchObject({ kind: 'facts-missing' })
  })

  test.each([
    ['a letter of a name', { name: 'A*', birth: '2026' }, 'name'],
    ['a name of wild cards', { name: 'a*b*c*d*e*', birth: '2026' }, 'name'],
    ['a birth date that is none', { name: 'Asha', birth: '2026-02-30' }, 'birth'],
    ['three digits of a year', { name: 'Asha', birth: '202' }, 'birth'],
    ['three digits of a phone', { name: 'Asha', phone: '001' }, 'phone'],
    ['two digits of a card', { name: 'Asha', card: '48*' }, 'card'],
  ])('%s is too little', (_, question, fact) => {
    expect(searchProblem(question, rules)).toEqual({ kind: 'fact-too-short', fact })
  })

  test('which facts must be there, how many, and how much of each, follows the settings', () => {
    const strict = {
      ...rules,
      factsNeeded: 3,
      factsRequired: ['village' as const],
      birthNeeds: 'month' as const,
    }
    expect(searchProblem({ name: 'Asha', birth: '2026-01' }, strict)).toMatchObject({ facts: ['village'] })
    expect(searchProblem({ name: 'Asha', birth: '2026', villageId: 'Mbari' }, strict)).toEqual({
      kind: 'fact-too-short',
      fact: 'birth',
    })
    expect(searchProblem({ name: 'Asha', birth: '2026-01', villageId: 'Mbari' }, strict)).toBeUndefined()
  })
})

test.each([
  ['2026', '2026-01-01', '2026-12-31'],
  ['2026-02', '2026-02-01', '2026-02-28'],
  ['2026-3-4', '2026-03-04', '2026-03-04'],
])('%s stands for %s to %s', (part, from, to) => {
  const window = birthWindow(part)
  expect([window?.fromOn, window?.toOn].map((day) => day && formatDay(day))).toEqual([from, to])
})

test('birth dates near the one asked for are compared too', () => {
  const window = comparedWindow('2026-01-20', rules)
  expect(window).toEqual({ fromOn: mustParseDay('2025-12-20'), toOn: mustParseDay('2026-02-20') })
})

describe('a child is found', () => {
  test.each([
    ['by its name in another order', { name: 'temba asha' }],
    ['by a name it had before', { name: 'Baby Neema' }],
    ['by a pattern', { name: 'As?a T*' }],
    ['by a pattern for one word', { name: 'tem*' }],
    ['by the last digits of a phone', { phone: '0001' }],
    ['by a phone as it is dialled at home', { phone: '07700 900001' }],
    ['by a card with a digit that cannot be read', { card: '4821 ?739' }],
    ['by the end of a card', { card: '7739' }],
    ['by the year of birth', { birth: '2026' }],
    ['by a birth date some days off', { birth: '2026-01-25' }],
  ])('%s', (_, question) => {
    expect(found(question, child({ formerNames: ['Baby Neema'] }))).toEqual(['a'])
  })

  test.each([
    ['another name', { name: 'Juma' }],
    ['a pattern that ends elsewhere', { name: 'As?' }],
    ['another village', { villageId: 'Kesho' }],
    ['other digits of a phone', { phone: '0002' }],
    ['other digits of a card', { card: '7738' }],
    ['another year', { birth: '2024' }],
  ])('not by %s', (_, question) => {
    expect(found(question, child())).toEqual([])
  })

  test('likeliest first, and of equals by name and identifier, so that the order is stable', () => {
    const exact = child({ id: 'b' })
    const alike = child({ id: 'c', name: 'Aisha Temba' })
    const near = child({ id: 'd', birthOn: mustParseDay('2026-01-22') })
    const same = child({ id: 'a' })
    const question = { name: 'Asha Temba', birth: '2026-01-20', sex: 'female' as const }
    expect(found(question, near, alike, exact, same)).toEqual(['a', 'b', 'c', 'd'])
    expect(found(question, same, exact, alike, near)).toEqual(['a', 'b', 'c', 'd'])
  })
})

describe('a hundred names written otherwise', () => {
  const pairs = z
    .array(z.tuple([z.string(), z.string()]))
    .parse(
      JSON.parse(readFileSync(new URL('../../fixtures/children/misspellings.json', import.meta.url), 'utf8')),
    )
  const everyone = pairs.map(([name], place) => child({ id: String(place), name }))
  const answers = pairs.map(([, written]) => found({ name: written }, ...everyone))

  test('are found by nearly all of them, and few others with them', () => {
    const hits = answers.filter((ids, place) => ids.includes(String(place))).length
    const others = answers.reduce(
      (sum, ids, place) => sum + ids.filter((id) => id !== String(place)).length,
      0,
    )
    const falseRate = others / (pairs.length * (pairs.length - 1))
    process.stdout.write(
      `search: ${pairs.length} names spelt otherwise, recall ${(hits / pairs.length).toFixed(2)}, false matches ${(100 * falseRate).toFixed(2)} % of pairs\n`,
    )
    expect(pairs).toHaveLength(100)
    expect(hits).toBeGreaterThanOrEqual(92)
    expect(falseRate).toBeLessThan(0.005)
  })

  test('have the right one first', () => {
    const first = answers.filter(([id], place) => id === String(place)).length
    expect(first).toBeGreaterThanOrEqual(92)
  })
})
