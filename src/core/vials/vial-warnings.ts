import { addDays } from '../days/day.ts'
import { dayAt, instantOf } from '../days/zoned-time.ts'
import type { DiscardBy } from './discard-by.ts'
import type { VialPolicy } from './vial-policy.ts'

/** `ends-soon`: use it first; `ends-today`: use it by the hour; `time-up`: discard, do not use. */
export type VialWarningKind = 'ends-soon' | 'ends-today' | 'time-up'

export interface VialWarning {
  readonly kind: VialWarningKind
  readonly at: Date
}

const MINUTE_MS = 60_000

/**
 * When the post is told about an opened vial, in time order. Moments that were past at the opening fall away;
 * the last one stands exactly where the vial's time ends.
 */
export function vialWarnings(
  vial: { readonly openedAt: Date; readonly discardBy: DiscardBy },
  policy: VialPolicy,
  zone: string,
): readonly VialWarning[] {
  const { at: endsAt, because } = vial.discardBy
  const { daysBefore, atHour, minutesBefore } = policy.warnings
  const endsOn = dayAt(endsAt, zone)
  const morning = (daysEarlier: number) =>
    instantOf({ day: addDays(endsOn, -daysEarlier), minute: atHour * 60 }, zone)
  const early: VialWarning[] =
    because === 'open-days' || because === 'expiry'
      ? [
          { kind: 'ends-soon', at: morning(daysBefore) },
          { kind: 'ends-today', at: morning(0) },
        ]
      : [{ kind: 'ends-soon', at: new Date(endsAt.getTime() - minutesBefore * MINUTE_MS) }]
  return [...early.filter(({ at }) => at > vial.openedAt && at < endsAt), { kind: 'time-up', at: endsAt }]
}
