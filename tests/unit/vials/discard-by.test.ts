import { mustParseDay } from '../../../src/core/days/day.ts'
import { discardBy } from '../../../src/core/vials/discard-by.ts'
import type { Opening } from '../../../src/core/vials/discard-by.ts'
import { openLife, policyOn } from '../../../src/core/vials/vial-policy.ts'
import { product, vialPolicies, vialPolicy } from '../../support/shipped-data.ts'

/** Nairobi is at UTC+3 all year. */
const ZONE = 'Africa/Nairobi'
const local = (text: string) => new Date(`${text}+03:00`)

function opening(change: Partial<Opening> & { code: string }): Opening {
  return {
    product: product(change.code),
    policy: vialPolicy('who-2014'),
    openedAt: local('2025-03-03T09:30'),
    expiryOn: mustParseDay('2027-12-31'),
    zone: ZONE,
    sessionEndsAt: null,
    conditions: null,
    ...change,
  }
}

describe('discardBy, worked cases (derived from WHO/IVB/14.07)', () => {
  test('a liquid vial opened on 3 March at 09:30 is last used on 31 March, to the hour', () => {
    expect(discardBy(opening({ code: 'ipv-5' }))).toEqual({
      at: local('2025-03-31T09:30'),
      because: 'open-days',
    })
  })

  test('where day 28 counts whole it is used to the end of 31 March', () => {
    const policy = vialPolicy('who-2014-whole-last-day')

    expect(discardBy(opening({ code: 'ipv-5', policy })).at).toEqual(local('2025-03-31T23:59:59.999'))
  })

  test('a vial that expires on 20 March dies on 20 March', () => {
    expect(discardBy(opening({ code: 'bopv-10', expiryOn: mustParseDay('2025-03-20') }))).toEqual({
      at: local('2025-03-20T23:59:59.999'),
      because: 'expiry',
    })
  })

  test.each([
    ['13:00', '2025-03-03T13:00', 'session-end'],
    ['16:00', '2025-03-03T14:40', 'open-hours'],
  ])('MR mixed at 08:40 in a session that ends at %s is discarded at %s', (end, at, because) => {
    const sessionEndsAt = local(`2025-03-03T${end}`)
    const mixed = opening({ code: 'mr-10', openedAt: local('2025-03-03T08:40'), sessionEndsAt })

    expect(discardBy(mixed)).toEqual({ at: local(at), because })
  })

  test('a session end that is past when the vial is opened says nothing', () => {
    const late = opening({ code: 'mr-10', sessionEndsAt: local('2025-03-03T09:00') })

    expect(discardBy(late)).toEqual({ at: local('2025-03-03T15:30'), because: 'open-hours' })
  })

  test('a vial opened after its expiry was past its time before it was opened', () => {
    const expired = opening({ code: 'ipv-5', expiryOn: mustParseDay('2025-03-02') })

    expect(discardBy(expired).at).toEqual(local('2025-03-02T23:59:59.999'))
  })

  test('one failed condition leaves 6 hours or the session (IPV-MDVP 2014)', () => {
    const conditions = {
      isKeptCold: false,
      isNeverFrozen: true,
      isStopperDry: true,
      isClean: true,
      monitorStage: 1,
    } as const

    expect(discardBy(opening({ code: 'ipv-5', conditions }))).toEqual({
      at: local('2025-03-03T15:30'),
      because: 'open-hours',
    })
  })
})

describe('discardBy across clock changes (IANA time zone database)', () => {
  const inLondon = { code: 'ipv-5', zone: 'Europe/London', openedAt: new Date('2026-03-10T09:30:00Z') }

  test('28 days to the hour are 28 times 24 hours, whatever the clocks show', () => {
    expect(discardBy(opening(inLondon)).at.toISOString()).toBe('2026-04-07T09:30:00.000Z')
  })

  test('a whole last day ends when the clocks of the place say so', () => {
    const policy = vialPolicy('who-2014-whole-last-day')

    expect(discardBy(opening({ ...inLondon, policy })).at.toISOString()).toBe('2026-04-07T22:59:59.999Z')
  })

  test('an expiry day ends at the place of the vial, not at Greenwich', () => {
    const expiryOn = mustParseDay('2026-03-12')
    const ends = ['Pacific/Kiritimati', 'Pacific/Pago_Pago'].map((zone) =>
      discardBy(opening({ ...inLondon, zone, expiryOn })).at.toISOString(),
    )

    expect(ends).toEqual(['2026-03-12T09:59:59.999Z', '2026-03-13T10:59:59.999Z'])
  })
})

describe('openLife', () => {
  test.each([
    ['who-2014', 'ipv-5', { kind: 'days', days: 28 }],
    ['who-2014', 'bopv-10', { kind: 'days', days: 28 }],
    ['who-2014', 'bcg-20', { kind: 'hours', hours: 6 }],
    ['who-2014', 'mr-10', { kind: 'hours', hours: 6 }],
    ['who-2014', 'yf-10', { kind: 'hours', hours: 6 }],
    ['who-2014', 'rota-5', { kind: 'hours', hours: 6 }],
    ['reconstituted-4h-je-2h', 'bcg-20', { kind: 'hours', hours: 4 }],
    ['reconstituted-4h-je-2h', 'mr-10', { kind: 'hours', hours: 4 }],
    ['reconstituted-4h-je-2h', 'je-live-5', { kind: 'hours', hours: 2 }],
    ['reconstituted-4h-je-2h', 'penta-10', { kind: 'days', days: 28 }],
    ['dtp-hib-7d', 'dtphib-10', { kind: 'days', days: 7 }],
    ['dtp-hib-7d', 'ipv-5', { kind: 'days', days: 28 }],
  ])('by %s, %s keeps %j (WHO/IVB/14.07 and national restatements)', (policy, code, life) => {
    expect(openLife(product(code), vialPolicy(policy))).toEqual(life)
  })

  test('a monitor on the cap makes it a 6-hour vial, on the label a 28-day vial (IPV-MDVP 2014)', () => {
    const onCap = { ...product('ipv-5'), monitorOn: 'cap' as const }

    expect(openLife(onCap, vialPolicy('who-2014'))).toEqual({ kind: 'hours', hours: 6 })
  })

  test('a policy cannot lengthen what the product allows', () => {
    const longer = {
      ...vialPolicy('who-2014'),
      shorter: [
        { vaccines: ['BCG'], hours: 48 },
        { vaccines: ['IPV'], days: 60 },
      ],
    }

    expect(openLife(product('bcg-20'), longer)).toEqual({ kind: 'hours', hours: 6 })
    expect(openLife(product('ipv-5'), longer)).toEqual({ kind: 'days', days: 28 })
  })
})

describe('policyOn', () => {
  const later = {
    ...vialPolicy('who-2014'),
    name: 'a later revision',
    effectiveOn: mustParseDay('2030-01-01'),
  }
  const both = [later, ...vialPolicies]

  test('gives the version in force on the day, so that a change touches only vials opened after it', () => {
    expect(policyOn(both, 'who-2014', mustParseDay('2029-12-31'))?.name).not.toBe('a later revision')
    expect(policyOn(both, 'who-2014', mustParseDay('2030-01-01'))?.name).toBe('a later revision')
  })

  test('gives none before the first version, or for an unknown code', () => {
    expect(policyOn(both, 'who-2014', mustParseDay('2014-08-31'))).toBeUndefined()
    expect(policyOn(both, 'no-such', mustParseDay('2030-01-01'))).toBeUndefined()
  })
})
