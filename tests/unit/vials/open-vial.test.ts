import { mustParseDay } from '../../../src/core/days/day.ts'
import type { VialConditions } from '../../../src/core/vials/conditions.ts'
import type { Opening } from '../../../src/core/vials/discard-by.ts'
import { mayOpen, mayUse, unitsLeft } from '../../../src/core/vials/open-vial.ts'
import type { OpenVial } from '../../../src/core/vials/open-vial.ts'
import { product, vialPolicy } from '../../support/shipped-data.ts'

const good: VialConditions = {
  isKeptCold: true,
  isNeverFrozen: true,
  isStopperDry: true,
  isClean: true,
  monitorStage: 1,
}

const OPENED = new Date('2026-03-03T06:30:00Z')
const DISCARD_BY = new Date('2026-03-31T06:30:00Z')

function vial(change: Partial<OpenVial> = {}): OpenVial {
  return {
    product: product('ipv-5'),
    openedAt: OPENED,
    discardBy: { at: DISCARD_BY, because: 'open-days' },
    drawnUnits: 0,
    discardedAt: null,
    ...change,
  }
}

describe('mayUse', () => {
  test('says use while all conditions hold, up to the very end of its time', () => {
    expect(mayUse(vial(), 'FIPV', DISCARD_BY, good)).toEqual({ kind: 'use' })
  })

  test.each<[string, Partial<VialConditions>, string]>([
    ['was frozen', { isNeverFrozen: false }, 'frozen'],
    ['stood with its stopper under water', { isStopperDry: false }, 'stopper-wet'],
    ['is dirty or wet', { isClean: false }, 'not-clean'],
    ['has a monitor at its discard point', { monitorStage: 3 }, 'monitor-past'],
    ['has a monitor past its discard point', { monitorStage: 4 }, 'monitor-past'],
    ['has a monitor that nobody read', { monitorStage: null }, 'monitor-unread'],
    ['was not kept at 2 to 8 degrees', { isKeptCold: false }, 'not-kept-cold'],
  ])('stops a vial that %s (WHO/IVB/14.07; common practice)', (_, change, reason) => {
    expect(mayUse(vial(), 'FIPV', OPENED, { ...good, ...change })).toEqual({
      kind: 'stop',
      reason,
      sentence: `vial-stop-${reason}`,
    })
  })

  test.each<[string, Partial<OpenVial>, string]>([
    ['was discarded', { discardedAt: OPENED }, 'discarded'],
    ['is past its days', {}, 'time-up'],
    ['is past its hours', { discardBy: { at: OPENED, because: 'open-hours' } }, 'time-up'],
    ['is past its expiry', { discardBy: { at: OPENED, because: 'expiry' } }, 'expired'],
    ['is from a session that is over', { discardBy: { at: OPENED, because: 'session-end' } }, 'session-over'],
  ])('stops a vial that %s', (_, change, reason) => {
    const tooLate = new Date(DISCARD_BY.getTime() + 1)

    expect(mayUse(vial(change), 'FIPV', tooLate, good)).toMatchObject({ kind: 'stop', reason })
  })

  test('stops a vial of another vaccine', () => {
    expect(mayUse(vial(), 'BOPV', OPENED, good)).toMatchObject({ reason: 'other-vaccine' })
  })

  test('lets a vial be used before the instant at which it was discarded', () => {
    expect(mayUse(vial({ discardedAt: DISCARD_BY }), 'FIPV', OPENED, good).kind).toBe('use')
  })

  test('never draws more than the vial holds: no 26th fractional dose from five full ones', () => {
    expect(mayUse(vial({ drawnUnits: 24 }), 'FIPV', OPENED, good).kind).toBe('use')
    expect(mayUse(vial({ drawnUnits: 25 }), 'FIPV', OPENED, good)).toMatchObject({ reason: 'used-up' })
    expect(mayUse(vial({ drawnUnits: 21 }), 'IPV', OPENED, good)).toMatchObject({ reason: 'used-up' })
  })

  test('refuses the 11th dose from a 10-dose vial', () => {
    const ten = vial({ product: product('bopv-10'), drawnUnits: 10 })

    expect(mayUse(ten, 'BOPV', OPENED, good)).toMatchObject({ reason: 'used-up' })
    expect(unitsLeft({ ...ten, drawnUnits: 11 })).toBe(0)
  })
})

describe('mayOpen', () => {
  const open = (code: string, change: Partial<Opening>) =>
    mayOpen({
      product: product(code),
      policy: vialPolicy('who-2014'),
      openedAt: OPENED,
      expiryOn: mustParseDay('2026-03-03'),
      zone: 'Africa/Nairobi',
      sessionEndsAt: null,
      conditions: good,
      ...change,
    })

  test('lets a good vial be opened, also by one who was not asked', () => {
    expect(open('penta-10', {})).toEqual({ kind: 'use' })
    expect(open('penta-10', { conditions: null })).toEqual({ kind: 'use' })
  })

  test('stops on a faulty vial, and on one that has expired', () => {
    expect(open('penta-10', { conditions: { ...good, isNeverFrozen: false } })).toMatchObject({
      reason: 'frozen',
    })
    expect(open('penta-10', { expiryOn: mustParseDay('2026-03-02') })).toMatchObject({ reason: 'expired' })
  })

  test('frost is no fault of a vaccine that frost does not harm (BOPV, dry MR; WHO, from memory)', () => {
    const frozen = { conditions: { ...good, isNeverFrozen: false } }

    expect(open('bopv-10', frozen).kind).toBe('use')
    expect(open('mr-10', frozen).kind).toBe('use')
  })

  test('the monitor of a dry vaccine counts before mixing and says nothing after', () => {
    const mixed = vial({ product: product('mr-10') })

    expect(open('mr-10', { conditions: { ...good, monitorStage: 3 } })).toMatchObject({
      reason: 'monitor-past',
    })
    expect(mayUse(mixed, 'MR', OPENED, { ...good, monitorStage: null }).kind).toBe('use')
  })

  test('where there is no monitor none is asked for', () => {
    const without = { ...product('hpv-1'), monitorOn: 'none' as const }

    expect(open('hpv-1', { product: without, conditions: { ...good, monitorStage: null } }).kind).toBe('use')
  })
})
