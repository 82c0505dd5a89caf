import { readReceiptDate, readReceiptText, stateOfWord } from '../../../../src/gateway/smpp/receipt-text.ts'

describe('readReceiptText', () => {
  // SMPP 3.4 Appendix B calls the form typical only; the variants are those seen in the public issue lists of
  // open SMPP libraries.
  test.each([
    [
      'the form of Appendix B',
      'id:0123456789 sub:001 dlvrd:001 submit date:2603150900 done date:2603150901 stat:DELIVRD err:000 text:Hello',
      { id: '0123456789', state: 'DELIVRD', error: '000', doneAt: '2603150901' },
    ],
    [
      'the bare minimum',
      'id:00AB12 stat:DELIVRD',
      { id: '00AB12', state: 'DELIVRD', error: null, doneAt: null },
    ],
    [
      'capitals, small states, seconds and a long error',
      'ID:00AB12 SUB:001 DLVRD:001 SUBMIT DATE:260315090000 DONE DATE:260315090112 STAT:delivrd ERR:0000 TEXT:x',
      { id: '00AB12', state: 'DELIVRD', error: '0000', doneAt: '260315090112' },
    ],
    [
      'spaces after the colons and no leading zeros',
      'id: 7 sub: 1 dlvrd: 1 stat: UNDELIV err: 5 text: hello',
      { id: '7', state: 'UNDELIV', error: '5', doneAt: null },
    ],
    [
      'labels inside the original text',
      'id:1 stat:UNDELIV err:001 text:stat:DELIVRD id:2',
      { id: '1', state: 'UNDELIV', error: '001', doneAt: null },
    ],
    ['no id', 'stat:EXPIRED err:1', { id: null, state: 'EXPIRED', error: '1', doneAt: null }],
    ['another form altogether', '7,DELIVRD,0', { id: null, state: null, error: null, doneAt: null }],
    ['nothing', '', { id: null, state: null, error: null, doneAt: null }],
  ])('reads %s', (_, text, read) => {
    expect(readReceiptText(text)).toEqual(read)
  })
})

describe('stateOfWord', () => {
  test.each([
    ['DELIVRD', 'delivered'],
    ['EXPIRED', 'undelivered'],
    ['DELETED', 'undelivered'],
    ['UNDELIV', 'undelivered'],
    ['REJECTD', 'undelivered'],
    ['ENROUTE', 'under-way'],
    ['ACCEPTD', 'under-way'],
    ['UNKNOWN', 'unknown'],
    ['XYZ', 'unknown'],
    ['toString', 'unknown'],
    [null, 'unknown'],
  ])('takes %s for %s', (word, state) => {
    expect(stateOfWord(word)).toBe(state)
  })
})

describe('readReceiptDate', () => {
  test.each([
    ['2603150901', '2026-03-15T06:01:00Z'],
    ['260315090112', '2026-03-15T06:01:12Z'],
    ['202603150901', '2026-03-15T06:01:00Z'],
    ['20260315090112', '2026-03-15T06:01:12Z'],
  ])('reads %s in the zone of the SMSC', (digits, instant) => {
    expect(readReceiptDate(digits, 'Africa/Nairobi')).toEqual(new Date(instant))
  })

  test.each([
    ['2602300900', 'Africa/Nairobi'],
    ['soon', 'Africa/Nairobi'],
    [null, 'Africa/Nairobi'],
    ['2603150901', null],
  ])('says nothing of %s in %s', (digits, zone) => {
    expect(readReceiptDate(digits, zone)).toBeNull()
  })
})
