/** Which record and which facts a merge proposes: the rules of docs/doubles.md, one by one. Common practice, no source. */
import { proposeMerge } from '../../../src/core/children/proposed-merge.ts'
import type { ChosenFact, MergeSide } from '../../../src/core/children/proposed-merge.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import type { Child, Dose } from '../../../src/core/model.ts'

const rules = { unnamedWords: ['baby'] }

function side(id: string, facts: Partial<Child>, dosesOn: readonly string[] = []): MergeSide {
  const child: Child = {
    id,
    districtId: 'd',
    villageId: `village of ${id}`,
    cardNumber: '10000000',
    name: 'Asha Temba',
    sex: null,
    birthOn: mustParseDay('2026-01-20'),
    isBirthEstimated: false,
    birthWeightGrams: null,
    birthMinute: null,
    ownPlan: { putOff: [], risks: [] },
    status: 'active',
    statusOn: null,
    statusReason: null,
    awayUntil: null,
    enrolledOn: mustParseDay('2026-02-01'),
    enrolledVia: 'api',
    mergedInto: null,
    birthGroup: null,
    birthOrder: null,
    isErased: false,
    isSharingBarred: false,
    ...facts,
  }
  return { child, doses: dosesOn.map((day, place) => dose(`${id}${place}`, id, day)) }
}

function dose(id: string, childId: string, day: string): Dose {
  return {
    id,
    childId,
    vaccine: 'PENTA',
    givenOn: mustParseDay(day),
    givenMinute: null,
    typedNumber: null,
    delivery: 'routine',
    isElsewhere: false,
    recordedBy: 'w',
    recordedVia: 'sms',
    recordedAt: new Date('2026-03-01T09:00Z'),
    voidedAt: null,
    voidReason: null,
    vialId: null,
    vialFlags: [],
  }
}

const EARLY = ['2026-03-01']
const LATE = ['2026-03-09']

describe('the record that stays', () => {
  test.each([
    ['has more doses on record', [side('a', {}, []), side('b', {}, EARLY)], 'b', 'more doses on record'],
    [
      'was enrolled first',
      [side('a', {}), side('b', { enrolledOn: mustParseDay('2026-01-25') })],
      'b',
      'enrolled first',
    ],
    [
      'is the first by identifier where both tell as much',
      [side('b', {}), side('a', {})],
      'a',
      'both tell as much',
    ],
  ] as const)('%s', (_, [one, other], staysId, because) => {
    expect(proposeMerge(one, other, rules)).toMatchObject({ staysId, because })
    expect(proposeMerge(other, one, rules)).toEqual(proposeMerge(one, other, rules))
  })

  test('is not chosen for a dose that was withdrawn', () => {
    const withdrawn = { ...dose('x', 'b', '2026-03-01'), voidedAt: new Date('2026-03-02T09:00Z') }
    const two = { ...side('b', {}), doses: [withdrawn] }

    expect(proposeMerge(side('a', {}), two, rules).staysId).toBe('a')
  })
})

describe('of each fact', () => {
  test.each<[string, ChosenFact, readonly [MergeSide, MergeSide], string]>([
    [
      'a name beats a word that stands for none',
      'name',
      [side('a', { name: 'Baby Temba Umoja' }), side('b', {})],
      'a name of its own',
    ],
    ['the fuller name', 'name', [side('a', { name: 'Asha' }), side('b', {})], 'the fuller name'],
    ['the recorded sex', 'sex', [side('a', {}), side('b', { sex: 'female' })], 'recorded'],
    [
      'the birth date that is not estimated',
      'birth',
      [side('a', { isBirthEstimated: true }), side('b', {})],
      'not estimated',
    ],
    [
      'the birth date with its hour',
      'birth',
      [side('a', {}), side('b', { birthMinute: 300 })],
      'with the hour',
    ],
    [
      'the recorded birth weight',
      'birthWeight',
      [side('a', {}), side('b', { birthWeightGrams: 2900 })],
      'recorded',
    ],
    [
      'the village of the last dose',
      'village',
      [side('a', {}, EARLY), side('b', {}, LATE)],
      'where the last dose was reported',
    ],
  ])('%s is proposed, though the other record stays', (_, fact, [one, other], because) => {
    const { staysId, facts } = proposeMerge(one, other, rules)

    expect(staysId).toBe('a')
    expect(facts.find((each) => each.fact === fact)).toEqual({ fact, fromId: 'b', because })
  })

  test('what both say is that of the record that stays', () => {
    const { facts } = proposeMerge(side('a', {}), side('b', {}), rules)

    expect(facts.map(({ fromId }) => fromId)).toEqual(['a', 'a', 'a', 'a', 'a'])
  })
})
