import smpp from 'smpp'
import { isHopelessBind, submitMeaning, type SubmitMeaning } from '../../../../src/gateway/smpp/status.ts'

// Names and numbers: SMPP 3.4 §5.1.3, as the npm library smpp 0.5.1 lists them. What each is worth is judgement.
const CASES: readonly (readonly [SubmitMeaning, readonly string[]])[] = [
  ['accepted', ['ESME_ROK']],
  ['congested', ['ESME_RTHROTTLED', 'ESME_RMSGQFUL']],
  [
    'try-later',
    ['ESME_RSYSERR', 'ESME_RSUBMITFAIL', 'ESME_RX_T_APPN', 'ESME_RDELIVERYFAILURE', 'ESME_RUNKNOWNERR'],
  ],
  ['rebind', ['ESME_RINVCMDID', 'ESME_RINVBNDSTS', 'ESME_RALYBND']],
  [
    'rejected-account',
    [
      'ESME_RINVSRCADR',
      'ESME_RBINDFAIL',
      'ESME_RINVPASWD',
      'ESME_RINVSYSID',
      'ESME_RINVSERTYP',
      'ESME_RINVSYSTYP',
    ],
  ],
  ['rejected-number', ['ESME_RINVDSTADR', 'ESME_RINVDSTTON', 'ESME_RINVDSTNPI']],
  [
    'rejected-message',
    [
      'ESME_RINVMSGLEN',
      'ESME_RINVCMDLEN',
      'ESME_RINVESMCLASS',
      'ESME_RINVSCHED',
      'ESME_RINVEXPIRY',
      'ESME_RINVDFTMSGID',
      'ESME_RX_P_APPN',
      'ESME_RX_R_APPN',
      'ESME_RINVTLVSTREAM',
      'ESME_RINVTLVVAL',
    ],
  ],
]

describe('submitMeaning', () => {
  test.each(CASES.flatMap(([meaning, names]) => names.map((name) => [name, meaning] as const)))(
    'takes %s for %s',
    (name, meaning) => {
      const code = smpp.errors[name]
      if (code === undefined) throw new Error(`the library does not know ${name}`)

      expect(submitMeaning(code, {})).toBe(meaning)
    },
  )

  test('does not guess at a code of the vendor, unless the account tells', () => {
    expect(submitMeaning(0x401, {})).toBe('unknown')
    expect(submitMeaning(0x401, { '0x401': 'rejected-number' })).toBe('rejected-number')
    expect(submitMeaning(0x0b, { '0x0b': 'try-later' })).toBe('try-later')
  })
})

describe('isHopelessBind', () => {
  test('knows the refusals that more binds only make worse', () => {
    expect([0x0d, 0x0e, 0x0f, 0x53].every(isHopelessBind)).toBe(true)
    expect([0x05, 0x08, 0x58].some(isHopelessBind)).toBe(false)
  })
})
