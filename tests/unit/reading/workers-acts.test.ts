import { reading } from '../../support/reading.ts'
import type { Reader } from '../../support/reading.ts'

type Row = readonly [text: string, read: object]

const check = (rows: readonly Row[], reader: Reader = {}): void => {
  test.each(rows.map(([text, read]): [string, object] => [text, read]))('%j', (text, read) => {
    expect(reading(text, reader)).toMatchObject(read)
  })
}

describe('OPENED', () => {
  const fipv = { act: 'open-vial', vaccine: 'FIPV', lot: 'L4471B', expiry: '2027-05-31' }
  check([
    ['OPENED FIPV L4471B 05/2027', fipv],
    ['open fipv lot l4471b exp 05-27', fipv],
    ['opened FIPV, batch L4471B, expiry May 2027', fipv],
    ['opened FIPV L4471B MAY27', fipv],
    ['opened FIPV L4471B 31/05/2027', fipv],
    ['opened FIPV L4471B 2027-05', fipv],
    ['opened FIPV L4471B 05 2027', fipv],
    ['opened 05/2027 l4471b fipv', fipv],
    ['OPENED BCG AB-12/34 15 May 2027', { lot: 'AB-12/34', expiry: '2027-05-15' }],
    ['OPENED FIPV L4471B 02/2028', { expiry: '2028-02-29' }],
    ['OPENED FIPV L4471B', { code: 'expiry-missing' }],
    ['OPENED FIPV 05/2027', { code: 'lot-missing' }],
    ['OPENED L4471B 05/2027', { code: 'vaccine-missing' }],
    ['OPENED XYZ L4471B 05/2027', { code: 'vaccine-unknown', word: 'XYZ' }],
    ['OPENED FIPV L4471B 13/2027', { code: 'expiry-impossible', word: '13/2027' }],
    ['OPENED FIPV L4471B 05/2099', { code: 'expiry-impossible' }],
    [
      'OPENED FIPV BCG L4471B 05/2027',
      { code: 'vaccine-unclear', choices: ['OPENED FIPV L4471B 2027-05-31', 'OPENED BCG L4471B 2027-05-31'] },
    ],
  ])
})

describe('DISCARD', () => {
  check([
    ['DISCARD 317 frozen', { act: 'discard-vial', vial: '317', why: 'frozen' }],
    ['discard v317', { vial: '317', why: null }],
    ['Discard vial 317: left out 6 hours', { vial: '317', why: 'left out 6 hours' }],
    ['DISCARD frozen', { code: 'vial-missing' }],
  ])
})

describe('REACTION', () => {
  check([
    ['reaction fever 39.5 since 2 days 4821 7739', { card: '48217739', words: 'fever 39.5 since 2 days' }],
    ['REACTION 4821 7739 2 fits', { card: '48217739', words: '2 fits' }],
    ['REACTION 48217739 fever\nnew rash since monday', { words: 'fever new rash since monday' }],
    ['REACTION 48217739 fever\nGAVE 30951466 OPV', { acts: [{ words: 'fever' }, { card: '30951466' }] }],
    ['REACTION 48217739', { code: 'words-missing' }],
    ['REACTION high fever', { code: 'card-missing' }],
  ])
})

describe('VISIT says what became of a child, and why it did not come (requirements REG-18, REM-14, REM-15)', () => {
  check([
    ['VISIT 48217739 moved to Lindi', { act: 'record-visit', outcome: 'moved', words: 'Lindi' }],
    ['VISIT 48217739 refused, fear', { outcome: 'refused', reason: 'fear', words: null }],
    ['VISIT 48217739 away until 5/12', { outcome: 'away', until: '2026-12-05', words: null }],
    ['visit 48217739 found ill', { outcome: 'active', reason: 'ill' }],
    ['visit 48217739 lost', { outcome: 'lost' }],
    ['VISIT 48217739 died', { outcome: 'died' }],
    ['VISIT 48217739', { code: 'outcome-missing' }],
  ])
})

describe('NOTGIVEN says by one word why a vaccine was not given (requirements DOS-03, DOS-04)', () => {
  check([
    [
      'NOT GIVEN 48217739 MR ill',
      { act: 'record-not-given', vaccines: ['MR'], reason: 'ill', date: '2026-11-24' },
    ],
    [
      'notgiven 48217739 opv penta out of stock yesterday',
      { vaccines: ['BOPV', 'PENTA'], reason: 'out-of-stock', date: '2026-11-23' },
    ],
    ['NOTGIVEN 48217739 MR refused', { reason: 'refused' }],
    ['NOTGIVEN 48217739 MR contraindicated', { reason: 'contraindicated' }],
    ['NOTGIVEN 48217739 MR', { code: 'reason-missing', word: null }],
    ['NOTGIVEN 48217739 MR xyzzy', { code: 'reason-missing', word: 'xyzzy' }],
    ['NOTGIVEN 48217739 ill', { code: 'vaccine-missing' }],
  ])
})

describe('DOUBLE flags a child or a dose that is there twice (requirement DUP-03)', () => {
  check([
    ['DOUBLE 4821 7739 3095 1466', { act: 'flag-double', card: '48217739', other: '30951466', vaccines: [] }],
    ['double 48217739 opv', { other: null, vaccines: ['BOPV'] }],
    ['DOUBLE', { code: 'card-missing' }],
  ])
})

describe('NAME gives a baby its name (requirement REG-14)', () => {
  check([
    ['NAME 48217739 Asha Temba', { act: 'rename-child', card: '48217739', name: 'Asha Temba' }],
    ['name 48217739 is Asha', { name: 'Asha' }],
    ['NAME 48217739', { code: 'name-missing' }],
  ])
})

describe('cold store', () => {
  check([
    ['TEMP 5.2', { act: 'record-temperature', celsius: 5.2, fridge: null, date: '2026-11-24' }],
    ['temp 5,2 c', { celsius: 5.2 }],
    ['TEMP -2', { celsius: -2 }],
    ['TEMP −0.5', { celsius: -0.5 }],
    ['TEMP fridge 2 8.5 yesterday', { celsius: 8.5, fridge: '2', date: '2026-11-23' }],
    ['TEMP 85', { code: 'temperature-impossible', word: '85' }],
    ['TEMP', { code: 'temperature-missing' }],
    [
      'TEMP 4.1 7.9',
      { code: 'temperature-impossible', choices: ['TEMP 4.1 2026-11-24', 'TEMP 7.9 2026-11-24'] },
    ],
    [
      'STOCK BOPV 12, fipv3 vials and PCV 40 doses',
      {
        counts: [
          { vaccine: 'BOPV', count: 12, unit: 'vials' },
          { vaccine: 'FIPV', count: 3, unit: 'vials' },
          { vaccine: 'PCV', count: 40, unit: 'doses' },
        ],
      },
    ],
    [
      'STOCK carried BOPV 3 vials and PCV 20 doses',
      { moved: 'taken-out', counts: [{ vaccine: 'BOPV', count: 3 }, { vaccine: 'PCV' }] },
    ],
    [
      'STOCK BOPV +3 vials lot l4471b,PCV +2 batch 77 penta -1 lot X9 broken',
      {
        why: 'broken',
        counts: [
          { vaccine: 'BOPV', count: 3, kind: 'received', lot: 'L4471B' },
          { vaccine: 'PCV', count: 2, kind: 'received', lot: '77' },
          { vaccine: 'PENTA', count: 1, kind: 'discarded-closed', lot: 'X9' },
        ],
      },
    ],
    ['stock bopv 2 brought back', { moved: 'brought-back', counts: [{ vaccine: 'BOPV', count: 2 }] }],
    [
      'STOCK carried BOPV -3 broken',
      { code: 'keyword-unclear', word: 'carried', choices: ['STOCK BOPV -3 vials broken'] },
    ],
    ['STOCK OPV', { code: 'count-missing', word: 'OPV' }],
    ['STOCK polio 3', { code: 'vaccine-unclear' }],
    ['STOCK', { code: 'vaccine-missing' }],
  ])
})

describe('lists and questions', () => {
  check([
    ['due', { act: 'due-list', village: null, date: null }],
    ['DUE in Kilima Juu on friday', { village: 'Kilima Juu', date: '2026-11-27' }],
    ['due friday Mbari', { village: 'Mbari', date: '2026-11-27' }],
    ["DUE N'Djamena-Sud", { village: "N'Djamena-Sud" }],
    ['CARD 4821 7739', { act: 'card-status', card: '48217739' }],
    ['crad 4821 7739', { act: 'card-status', card: '48217739' }],
    ['CARD', { code: 'card-missing' }],
    ['undo please', { act: 'undo', card: null }],
    ['UNDO 4821 7739', { act: 'undo', card: '48217739' }],
    ['UNDO OPV', { code: 'not-understood' }],
    ['CANCEL', { code: 'keyword-unclear', choices: ['UNDO', 'STOP'] }],
    ['STOC', { code: 'keyword-unclear', choices: ['STOCK', 'STOP'] }],
    ['MORE', { act: 'next-page' }],
    ['YES', { act: 'answer-yes' }],
    ['no.', { act: 'answer-no' }],
    ['HELP', { act: 'help', topic: null }],
    ['help fipv', { topic: 'FIPV' }],
    ['help gave', { topic: 'GAVE' }],
    ['HELP with the vial', { topic: 'VIAL' }],
    ['help polio drops', { topic: 'BOPV' }],
    ['French', { act: 'set-language', language: 'fr' }],
    ['LANGUAGE hi', { act: 'set-language', language: 'hi' }],
    ['stop', { act: 'stop' }],
    ['WHEN', { code: 'role-not-allowed', word: 'WHEN' }],
    ['COVER Mbari', { code: 'role-not-allowed', word: 'COVER' }],
    ['hello how are you', { code: 'not-understood' }],
  ])
})

describe('a district whose villages are known', () => {
  check(
    [
      ['DUE kilimajuu', { village: 'Kilima Juu' }],
      ['DUE Mbori', { village: 'Mbari' }],
      ['DUE Kilma Ju', { code: 'village-unknown', word: 'Kilma Ju', choices: ['DUE Kilima Juu'] }],
      ['DUE Xyz', { code: 'village-unknown', choices: [] }],
    ],
    { villages: ['Mbari', 'Kilima Juu'] },
  )
})

describe('managers', () => {
  check(
    [
      ['COVER Mbari', { act: 'coverage', village: 'Mbari' }],
      ['covr', { act: 'coverage', village: null }],
      ['Missed in Mbari', { act: 'missed-list', village: 'Mbari' }],
      ['SEEN 12', { act: 'acknowledge', reference: '12' }],
      ['seen', { act: 'acknowledge', reference: null }],
      ['GAVE 48217739 OPV', { code: 'role-not-allowed', word: 'GAVE' }],
      ['DUE', { code: 'role-not-allowed', word: 'DUE' }],
    ],
    { from: 'manager' },
  )
})
