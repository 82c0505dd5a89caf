import { pinFault } from '../../../src/core/pins/pin-rules.ts'
import { takePin, withoutPin } from '../../../src/core/pins/take-pin.ts'
import { loadShelf } from '../../../src/main/shelf.ts'

const { pinWords } = loadShelf()

describe('a PIN is taken out of a text', () => {
  test.each([
    ['UNDO PIN 4821', 'UNDO PIN ****', '4821'],
    ['undo pin4821', 'undo PIN ****', '4821'],
    ['SEEN 7 Pin: 482193 thanks', 'SEEN 7 PIN **** thanks', '482193'],
    ['GAVE 5800 1043 BCG\nPIN=4821', 'GAVE 5800 1043 BCG\nPIN ****', '4821'],
    ['PIN 481922 4821', 'PIN **** ****', '481922 4821'],
    ['PIN 481922, 4821', 'PIN **** ****', '481922 4821'],
    ['पिन ४८२१', 'PIN ****', '4821'],
    ['رمزي ٤٨٢١', 'PIN ****', '4821'],
    ['VISIT 58001043 died PIN 4821 ', 'VISIT 58001043 died PIN **** ', '4821'],
    ['UNDO PIN 482', 'UNDO PIN ****', '482'],
  ])('%s', (text, body, pin) => {
    expect(takePin(text, pinWords)).toEqual({ body, pin })
  })

  test.each([
    'GAVE 5800 1043 BCG',
    'NEW Pin 20/01/2026 F 07700900123 Asha',
    'OPINION 4821',
    'PINTO 4821',
    '  due   Mbari?? ',
    'PIN',
  ])('and nothing else is touched: %s', (text) => {
    expect(takePin(text, pinWords)).toEqual({ body: text, pin: null })
  })

  test.each([
    ['UNDO PIN ****', 'UNDO'],
    ['PIN **** ****', 'PIN'],
    ['GAVE 5800 1043 BCG\nPIN ****', 'GAVE 5800 1043 BCG'],
    ['', ''],
  ])('what is left of %j is read as %j', (body, rest) => {
    expect(withoutPin(body)).toBe(rest)
  })
})

// SP 800-63B-4 §3.1.1.2 (NIST): secrets that are commonly used or expected are refused; rows and repeats are ours.
test.each([
  ['4821', null],
  ['482193', null],
  ['482', 'length'],
  ['4821937', 'length'],
  ['48a1', 'length'],
  ['0000', 'easy'],
  ['2345', 'easy'],
  ['9876', 'easy'],
  ['1357', null],
])('a PIN of %s has the fault %s', (pin, fault) => {
  expect(pinFault(pin)).toBe(fault)
})
