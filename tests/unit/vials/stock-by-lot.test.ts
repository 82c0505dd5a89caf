import { ledgersByLot, withoutLots } from '../../../src/core/vials/stock-by-lot.ts'
import type { LotEvent } from '../../../src/core/vials/stock-by-lot.ts'
import { foldStock } from '../../../src/core/vials/stock-ledger.ts'

type WithoutTime<Event> = Event extends unknown ? Omit<Event, 'at'> : never

function told(...events: WithoutTime<LotEvent>[]): LotEvent[] {
  return events.map((event, minute) => ({ ...event, at: new Date(minute * 60_000) }))
}

const EVENTS = told(
  { lot: null, kind: 'counted', vials: 4 },
  { lot: 'L1', kind: 'received', vials: 6 },
  { lot: 'L2', kind: 'received', vials: 5 },
  { lot: 'L1', kind: 'taken-out', vials: 2 },
  { lot: 'L1', kind: 'opened', vial: '1', from: null },
  { lot: 'L1', kind: 'brought-back', vials: 1 },
  { lot: 'L2', kind: 'discarded-closed', vials: 1, reason: 'broken' },
  { lot: 'L2', kind: 'counted', vials: 3 },
  // A vial of a lot that never came in by name is one of those without a name.
  { lot: 'L9', kind: 'opened', vial: '2', from: null },
)

describe('closed vials by lot', () => {
  test('each lot has its own ledger, and those without a name the rest', () => {
    expect(ledgersByLot(EVENTS)).toEqual([
      { lot: 'L1', broughtIn: 6, corrected: 0, inStore: 5, out: 0, opened: 1, closedWaste: 0 },
      { lot: 'L2', broughtIn: 5, corrected: -1, inStore: 3, out: 0, opened: 0, closedWaste: 1 },
      { lot: null, broughtIn: 0, corrected: 4, inStore: 3, out: 0, opened: 1, closedWaste: 0 },
    ])
  })

  test('the count of one lot leaves the others as they are', () => {
    expect(foldStock(10, withoutLots(EVENTS))).toMatchObject({ storeVials: 11, correctedVials: 3, flags: [] })
  })

  test('where no lot was told there is one ledger without a name', () => {
    const [counted] = told({ lot: null, kind: 'counted', vials: 2 })
    expect(ledgersByLot(counted === undefined ? [] : [counted])).toMatchObject([{ lot: null, inStore: 2 }])
    expect(ledgersByLot([])).toEqual([])
  })
})
