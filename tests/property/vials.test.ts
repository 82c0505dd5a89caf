import fc from 'fast-check'
import { addDays, mustParseDay } from '../../src/core/days/day.ts'
import { dayAt } from '../../src/core/days/zoned-time.ts'
import { discardBy } from '../../src/core/vials/discard-by.ts'
import type { Opening } from '../../src/core/vials/discard-by.ts'
import { ledgersByLot, withoutLots } from '../../src/core/vials/stock-by-lot.ts'
import type { LotEvent } from '../../src/core/vials/stock-by-lot.ts'
import { foldStock, ledgerInVials } from '../../src/core/vials/stock-ledger.ts'
import type { StockEvent } from '../../src/core/vials/stock-ledger.ts'
import { vialWarnings } from '../../src/core/vials/vial-warnings.ts'
import { products, vialPolicies } from '../support/shipped-data.ts'

const RUNS = { numRuns: 1000 }
const HOUR_MS = 3_600_000
const ZONES = [
  'UTC',
  'Africa/Nairobi',
  'Africa/Cairo',
  'America/Havana',
  'Pacific/Kiritimati',
  'Asia/Kathmandu',
]
const FIRST_DAY = mustParseDay('2024-01-01')

const instant = fc.date({
  min: new Date('2024-01-01T00:00:00Z'),
  max: new Date('2028-12-31T00:00:00Z'),
  noInvalidDate: true,
})

const conditions = fc.record({
  isKeptCold: fc.boolean(),
  isNeverFrozen: fc.boolean(),
  isStopperDry: fc.boolean(),
  isClean: fc.boolean(),
  monitorStage: fc.constantFrom(1, 2, 3, 4, null),
})

const opening: fc.Arbitrary<Opening> = fc.record({
  product: fc.constantFrom(...products),
  policy: fc.constantFrom(...vialPolicies),
  openedAt: instant,
  expiryOn: fc.nat(2000).map((days) => addDays(FIRST_DAY, days)),
  zone: fc.constantFrom(...ZONES),
  sessionEndsAt: fc.option(instant),
  conditions: fc.option(conditions),
})

const until = (of: Opening) => discardBy(of).at.getTime()

describe('discardBy', () => {
  test('is never after expiry, in any zone', () => {
    fc.assert(
      fc.property(opening, (of) => dayAt(discardBy(of).at, of.zone) <= of.expiryOn),
      RUNS,
    )
  })

  test('never moves later when more becomes known', () => {
    fc.assert(
      fc.property(opening, instant, conditions, fc.nat(400), (of, sessionEndsAt, answers, days) => {
        const less = { ...of, sessionEndsAt: null, conditions: null }
        expect(until({ ...less, sessionEndsAt })).toBeLessThanOrEqual(until(less))
        expect(until({ ...less, conditions: answers })).toBeLessThanOrEqual(until(less))
        expect(until({ ...of, expiryOn: addDays(of.expiryOn, -days) })).toBeLessThanOrEqual(until(of))
      }),
      RUNS,
    )
  })

  test('is never more than the last whole approved day after the opening, and hours are hours in every zone', () => {
    fc.assert(
      fc.property(opening, (of) => {
        const { at, because } = discardBy(of)
        const hours = (at.getTime() - of.openedAt.getTime()) / HOUR_MS
        // A whole last day adds up to a day, and clocks that go back one hour more.
        expect(hours).toBeLessThanOrEqual(28 * 24 + 25)
        if (because === 'open-hours') expect([2, 4, 6]).toContain(hours)
      }),
      RUNS,
    )
  })

  test('to-the-hour lives are the same length in every zone', () => {
    const unending = { expiryOn: addDays(FIRST_DAY, 9999), sessionEndsAt: null, conditions: null }
    fc.assert(
      fc.property(opening, (of) => {
        fc.pre(of.policy.lastDay === 'to-the-hour')
        const ends = ZONES.map((zone) => until({ ...of, ...unending, zone }))
        expect(new Set(ends).size).toBe(1)
      }),
      RUNS,
    )
  })
})

describe('vialWarnings', () => {
  test('come in order, after the opening, and the last is the end itself', () => {
    fc.assert(
      fc.property(opening, (of) => {
        const ends = discardBy(of)
        fc.pre(ends.at > of.openedAt)
        const warnings = vialWarnings({ openedAt: of.openedAt, discardBy: ends }, of.policy, of.zone)
        const times = warnings.map(({ at }) => at.getTime())
        expect(times).toEqual([...times].sort((a, b) => a - b))
        expect(times[0]).toBeGreaterThan(of.openedAt.getTime())
        expect(warnings.at(-1)).toEqual({ kind: 'time-up', at: ends.at })
      }),
      RUNS,
    )
  })
})

const vials = fc.nat(20)
const vial = fc.constantFrom('1', '2', '3')
const stockEvent: fc.Arbitrary<(at: Date) => StockEvent> = fc.oneof(
  fc
    .tuple(
      fc.constantFrom('opening-balance', 'received', 'sent', 'taken-out', 'brought-back', 'counted'),
      vials,
    )
    .map(
      ([kind, count]) =>
        (at: Date) =>
          ({ kind, vials: count, at }) as const,
    ),
  fc.tuple(vial, fc.constantFrom('store', 'out', null)).map(
    ([id, from]) =>
      (at: Date) =>
        ({ kind: 'opened', vial: id, from, at }) as const,
  ),
  fc.tuple(vial, fc.integer({ min: 1, max: 12 })).map(
    ([id, units]) =>
      (at: Date) =>
        ({ kind: 'drawn', vial: id, units, at }) as const,
  ),
  vial.map((id) => (at: Date) => ({ kind: 'discarded', vial: id, reason: 'time-up', at }) as const),
  vials.map(
    (count) => (at: Date) => ({ kind: 'discarded-closed', vials: count, reason: 'broken', at }) as const,
  ),
)

/** Each event has an instant of its own. */
const ledger = fc
  .array(stockEvent, { maxLength: 40 })
  .map((makers) => makers.map((make, minute) => make(new Date(minute * 60_000))))

function sum(events: readonly StockEvent[], ...kinds: StockEvent['kind'][]): number {
  return events.reduce(
    (total, event) => total + ('vials' in event && kinds.includes(event.kind) ? event.vials : 0),
    0,
  )
}

describe('foldStock', () => {
  test('balances after any events: what came in is in store, out, opened or thrown away', () => {
    fc.assert(
      fc.property(ledger, (events) => {
        const balance = foldStock(10, events)
        const cameIn = sum(events, 'opening-balance', 'received') - sum(events, 'sent')
        const thrownAway = sum(events, 'discarded-closed')
        expect(cameIn + balance.correctedVials).toBe(
          balance.storeVials + balance.outVials + balance.openedVials.size + thrownAway,
        )
      }),
      RUNS,
    )
  })

  test('carrying out and back conserves vials, whatever is opened meanwhile', () => {
    const isMove = ({ kind }: StockEvent) => kind === 'taken-out' || kind === 'brought-back'
    fc.assert(
      fc.property(ledger, vials, (events, carried) => {
        const uncounted = events.filter(({ kind }) => kind !== 'counted')
        const atHand = (of: readonly StockEvent[]) => {
          const { storeVials, outVials } = foldStock(10, of)
          return storeVials + outVials
        }
        expect(atHand(uncounted)).toBe(atHand(uncounted.filter((event) => !isMove(event))))

        const later = (minute: number) => new Date((events.length + minute) * 60_000)
        const trip: StockEvent[] = [
          { kind: 'taken-out', vials: carried, at: later(0) },
          { kind: 'brought-back', vials: carried, at: later(1) },
        ]
        const figures = (of: readonly StockEvent[]) => ({ ...foldStock(10, of), flags: [] })
        expect(figures([...events, ...trip])).toEqual(figures(events))
      }),
      RUNS,
    )
  })

  test('accounts for every unit of every opened vial, and never for more than it holds', () => {
    fc.assert(
      fc.property(ledger, (events) => {
        for (const { leftUnits, givenUnits, wastedUnits } of foldStock(10, events).openedVials.values()) {
          expect(leftUnits + givenUnits + wastedUnits).toBe(10)
          expect(Math.min(leftUnits, givenUnits, wastedUnits)).toBeGreaterThanOrEqual(0)
        }
      }),
      RUNS,
    )
  })

  test('does not depend on the order in which events were reported', () => {
    fc.assert(
      fc.property(
        ledger.chain((events) =>
          fc.tuple(
            fc.constant(events),
            fc.shuffledSubarray(events, { minLength: events.length, maxLength: events.length }),
          ),
        ),
        ([events, shuffled]) => {
          expect(foldStock(10, shuffled)).toEqual(foldStock(10, events))
        },
      ),
      RUNS,
    )
  })
})

const LOTS: Readonly<Record<string, string | null>> = { '1': 'A', '2': 'B', '3': null }

/** Each vial is of one lot; entries of the store tell theirs or not. */
const ledgerWithLots = fc
  .tuple(ledger, fc.array(fc.constantFrom('A', 'B', null), { minLength: 40, maxLength: 40 }))
  .map(([events, lots]) =>
    events.map((event, place): LotEvent => {
      const lot = 'vial' in event ? LOTS[event.vial] : lots[place]
      return { ...event, lot: lot ?? null }
    }),
  )

describe('ledgersByLot', () => {
  test('each lot adds up, and all lots together are the ledger of the place, in whatever order they were told', () => {
    const shuffled = ledgerWithLots.chain((events) =>
      fc.tuple(
        fc.constant(events),
        fc.shuffledSubarray(events, { minLength: events.length, maxLength: events.length }),
      ),
    )
    fc.assert(
      fc.property(shuffled, ([events, told]) => {
        const lots = ledgersByLot(events)
        expect(ledgersByLot(told)).toEqual(lots)
        for (const { broughtIn, corrected, inStore, out, opened, closedWaste } of lots)
          expect(broughtIn + corrected).toBe(inStore + out + opened + closedWaste)
        const whole = ledgerInVials(foldStock(10, withoutLots(events)))
        for (const [part, vials] of Object.entries(whole))
          expect(
            lots.reduce(
              (total, each) => total + Number(Object.entries(each).find(([name]) => name === part)?.[1]),
              0,
            ),
          ).toBe(vials)
      }),
      RUNS,
    )
  })
})
