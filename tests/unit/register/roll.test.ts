import { mustParseDay } from '../../../src/core/days/day.ts'
import type { RegisterChild } from '../../../src/core/register/register-row.ts'
import { enter, matchRow, openRoll } from '../../../src/core/register/roll.ts'

const ayo = {
  id: 'a',
  villageId: 'v',
  cardNumber: '48217739',
  name: 'Ayo Béll',
  birthOn: mustParseDay('2026-01-05'),
  isMerged: false,
  isElsewhere: false,
}
const row = (more: Partial<RegisterChild>): RegisterChild => ({
  line: 7,
  cardNumber: null,
  name: 'Ayo Bell',
  sex: null,
  birthOn: mustParseDay('2026-01-05'),
  villageId: 'v',
  phone: null,
  language: 'en',
  doses: [],
  ...more,
})

describe('matchRow', () => {
  test('finds the child of the same village, birth date and name, accents and case apart', () => {
    expect(matchRow(openRoll([ayo]), row({ name: ' AYO  bell ' }))).toEqual({ kind: 'known', id: 'a' })
  })

  test.each([
    ['another name', { name: 'Efia Bell' }],
    ['another birth date', { birthOn: mustParseDay('2026-01-06') }],
    ['another village', { villageId: 'w' }],
    ['another card and another name', { cardNumber: '71602848', name: 'Efia Bell' }],
  ])('takes %s for a new child', (_, more) => {
    expect(matchRow(openRoll([ayo]), row(more))).toEqual({ kind: 'new' })
  })

  test('finds the child of the card, also when it moved to another village', () => {
    expect(matchRow(openRoll([ayo]), row({ cardNumber: '48217739', villageId: 'w' }))).toEqual({
      kind: 'known',
      id: 'a',
    })
  })

  test.each([
    ['the card of another child', ayo, { cardNumber: '48217739', name: 'Efia Bell' }, 'card-taken'],
    ['a second card for a child', ayo, { cardNumber: '71602848' }, 'child-has-card'],
    [
      'the card of a child of another district',
      { ...ayo, isElsewhere: true },
      { cardNumber: '48217739' },
      'card-taken',
    ],
    ['the card of a merged record', { ...ayo, isMerged: true }, { cardNumber: '48217739' }, 'card-merged'],
  ])('leaves %s to a person', (_, known, more, code) => {
    expect(matchRow(openRoll([known]), row(more))).toMatchObject({
      kind: 'conflict',
      problem: { line: 7, code },
    })
  })

  test('a child of another district is not found by name', () => {
    expect(matchRow(openRoll([{ ...ayo, isElsewhere: true }]), row({}))).toEqual({ kind: 'new' })
  })

  test('a merged record is not found by name', () => {
    expect(matchRow(openRoll([{ ...ayo, isMerged: true }]), row({}))).toEqual({ kind: 'new' })
  })

  test('a row sees the children that rows before it brought', () => {
    const roll = openRoll([])
    enter(roll, { ...ayo, cardNumber: null })
    expect(matchRow(roll, row({}))).toEqual({ kind: 'known', id: 'a' })
    expect(matchRow(roll, row({ cardNumber: '48217739' }))).toMatchObject({
      problem: { code: 'child-has-card' },
    })
  })
})
