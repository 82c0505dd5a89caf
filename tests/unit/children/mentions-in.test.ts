import { mentionsIn } from '../../../src/core/children/mentions-in.ts'

const ID = '019abe80-0000-7000-8000-000000000007'

test.each([
  ['a card as it is printed', '5800 1043: BCG', { ids: [], cards: ['58001043'] }],
  ['a card in a table', 'Kesho,58001043,Asha', { ids: [], cards: ['58001043'] }],
  ['a card with a dash', 'CARD 5800-1043.', { ids: [], cards: ['58001043'] }],
  ['an identifier in an address', `<a href="/children/${ID}">`, { ids: [ID], cards: [] }],
  ['the same twice', `${ID} ${ID} 58001043 5800 1043`, { ids: [ID], cards: ['58001043'] }],
  ['a phone number', '+447700900001', { ids: [], cards: [] }],
  ['a day', 'Mon 30 Mar 2026, 2026-03-30', { ids: [], cards: [] }],
])('finds in words what may be a child: %s', (_what, words, found) => {
  expect(mentionsIn(words)).toEqual(found)
})
