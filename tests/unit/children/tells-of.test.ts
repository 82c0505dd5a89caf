import { tellsOf } from '../../../src/core/children/tells-of.ts'

const marks = { cards: ['48217739'], names: ['Asha Temba', 'Ngũgĩ wa Thiong’o', 'Asha'] }

test.each([
  ['GAVE 48217739 BCG', true],
  ['gave 4821 7739 BCG', true],
  ['4821-7739', true],
  ['NEW asha temba F 20.1.', true],
  ['ngugi wa thiongo comes late', true],
  // One name of one word is that of many children.
  ['Asha is due on Tuesday', false],
  ['Asha Tembari', false],
  ['GAVE 71602848 BCG', false],
])('%s', (words, isTold) => {
  expect(tellsOf(words, marks)).toBe(isTold)
})
