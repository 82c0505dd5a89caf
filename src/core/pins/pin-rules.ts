import type { ActName, SingleAct } from '../reading/act.ts'

/** What a PIN may look like, and for which acts a district can ask it. */

/** Wrong tries after which a PIN is locked until a manager makes a new code. */
export const MOST_WRONG_TRIES = 5

/** A code that a manager made lets its worker choose a PIN for this long. */
export const PIN_CODE_MS = 24 * 3_600_000

/** Acts that a district may ask a PIN for; a visit also by what it found. */
export const PIN_ACTS = [
  'record-doses',
  'enrol',
  'record-visit',
  'visit-moved',
  'visit-died',
  'record-not-given',
  'rename-child',
  'flag-double',
  'undo',
  'report-reaction',
  'open-vial',
  'discard-vial',
  'record-temperature',
  'record-stock',
  'due-list',
  'card-status',
  'coverage',
  'missed-list',
  'acknowledge',
] as const satisfies readonly (ActName | 'visit-moved' | 'visit-died')[]

/** Whether a district asks a PIN for an act. */
export function asksPin(act: SingleAct, asked: readonly string[]): boolean {
  return asked.includes(act.act) || (act.act === 'record-visit' && asked.includes(`visit-${act.outcome}`))
}

/** Why digits make no PIN: not 4 to 6 of them, or among the first that anyone would try. */
export function pinFault(pin: string): 'length' | 'easy' | null {
  if (!/^\d{4,6}$/.test(pin)) return 'length'
  const steps = Array.from(pin)
    .slice(1)
    .map((digit, at) => Number(digit) - Number(pin[at]))
  const [first] = steps
  const isRow = steps.every((step) => step === first) && Math.abs(first ?? 0) <= 1
  return isRow ? 'easy' : null
}
