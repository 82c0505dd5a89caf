import { foldStock } from '../../../src/core/vials/stock-ledger.ts'
import type { StockEvent } from '../../../src/core/vials/stock-ledger.ts'

type WithoutTime<Event> = Event extends unknown ? Omit<Event, 'at'> : never
type Told = WithoutTime<StockEvent>

/** Events a minute apart, in the order told. */
function told(...events: Told[]): StockEvent[] {
  return events.map((event, minute) => ({ ...event, at: new Date(minute * 60_000) }))
}

const TEN = 10

describe('foldStock', () => {
  test('a day at an outreach session adds up', () => {
    const balance = foldStock(
      TEN,
      told(
        { kind: 'opening-balance', vials: 12 },
        { kind: 'received', vials: 5 },
        { kind: 'taken-out', vials: 4 },
        { kind: 'opened', vial: '1', from: 'out' },
        ...Array.from({ length: 4 }, () => ({ kind: 'drawn', vial: '1', units: 1 }) as const),
        { kind: 'discarded', vial: '1', reason: 'session-end' },
        { kind: 'brought-back', vials: 3 },
        { kind: 'discarded-closed', vials: 2, reason: 'frozen' },
        { kind: 'counted', vials: 13 },
      ),
    )

    expect(balance).toMatchObject({
      broughtInVials: 17,
      storeVials: 13,
      outVials: 0,
      correctedVials: -1,
      closedWasteVials: { frozen: 2 },
      flags: [],
    })
    expect(balance.openedVials.get('1')).toEqual({
      leftUnits: 0,
      givenUnits: 4,
      wastedUnits: 6,
      overdrawnUnits: 0,
      discardedFor: 'session-end',
    })
  })

  test('stock that goes out and comes back is all there', () => {
    const events = told(
      { kind: 'received', vials: 9 },
      { kind: 'taken-out', vials: 9 },
      { kind: 'brought-back', vials: 9 },
    )

    expect(foldStock(TEN, events)).toMatchObject({ storeVials: 9, outVials: 0, flags: [] })
  })

  test('what is out at a session can be seen', () => {
    const events = told({ kind: 'received', vials: 9 }, { kind: 'taken-out', vials: 3 })

    expect(foldStock(TEN, events)).toMatchObject({ storeVials: 6, outVials: 3 })
  })

  test('a vial opened while some are out is one of those, as long as there are any', () => {
    const events = told(
      { kind: 'received', vials: 9 },
      { kind: 'opened', vial: '1', from: null },
      { kind: 'taken-out', vials: 1 },
      { kind: 'opened', vial: '2', from: null },
      { kind: 'opened', vial: '3', from: null },
    )

    expect(foldStock(TEN, events)).toMatchObject({ storeVials: 6, outVials: 0, flags: [] })
  })

  test('the 11th dose of a 10-dose vial is kept, flagged and never lent to the vial', () => {
    const events = told(
      { kind: 'received', vials: 1 },
      { kind: 'opened', vial: '7', from: 'store' },
      ...Array.from({ length: 11 }, () => ({ kind: 'drawn', vial: '7', units: 1 }) as const),
    )
    const balance = foldStock(TEN, events)

    expect(balance.openedVials.get('7')).toMatchObject({ leftUnits: 0, givenUnits: 10, overdrawnUnits: 1 })
    expect(balance.flags.map(({ kind }) => kind)).toEqual(['vial-overdrawn'])
  })

  test.each<[string, Told[], string]>([
    ['more closed vials than there are', [{ kind: 'sent', vials: 1 }], 'store-short'],
    ['more vials than were taken along', [{ kind: 'opened', vial: '1', from: 'out' }], 'out-short'],
    ['a dose from a vial nobody opened', [{ kind: 'drawn', vial: '9', units: 1 }], 'vial-unknown'],
    [
      'a vial opened twice',
      [
        { kind: 'received', vials: 2 },
        { kind: 'opened', vial: '1', from: 'store' },
        { kind: 'opened', vial: '1', from: 'store' },
      ],
      'vial-opened-twice',
    ],
    [
      'a vial thrown away twice',
      [
        { kind: 'received', vials: 1 },
        { kind: 'opened', vial: '1', from: 'store' },
        { kind: 'discarded', vial: '1', reason: 'used-up' },
        { kind: 'discarded', vial: '1', reason: 'broken' },
      ],
      'vial-already-discarded',
    ],
  ])('flags %s', (_, events, flag) => {
    expect(foldStock(TEN, told(...events)).flags.map(({ kind }) => kind)).toEqual([flag])
  })

  test('closed-vial waste splits by reason', () => {
    const events = told(
      { kind: 'received', vials: 10 },
      { kind: 'discarded-closed', vials: 1, reason: 'broken' },
      { kind: 'discarded-closed', vials: 3, reason: 'expired' },
      { kind: 'discarded-closed', vials: 2, reason: 'broken' },
    )

    expect(foldStock(TEN, events).closedWasteVials).toEqual({ broken: 3, expired: 3 })
  })

  test('what was noted within one instant counts in the order in which it was noted', () => {
    const noon = new Date('2026-11-25T12:00Z')
    const counted = { at: noon, kind: 'counted', vials: 10 } as const
    const broken = { at: noon, kind: 'discarded-closed', vials: 4, reason: 'broken' } as const

    expect(foldStock(TEN, [counted, broken])).toMatchObject({ storeVials: 6, correctedVials: 10 })
    expect(foldStock(TEN, [broken, counted])).toMatchObject({ storeVials: 10, correctedVials: 14 })
  })
})
