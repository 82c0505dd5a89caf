import { formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'

/** Reminders of one line, kind and day leave as one text. */
export interface ReminderBundle {
  readonly lineId: string
  readonly kind: string
  /** The day the text is about. */
  readonly aboutOn: Day
}

/**
 * One name for one text; fit for a job id, which BullMQ wants without ":" and not all digits.
 * @example bundleKey({ lineId: '7f3a', kind: 'eve', aboutOn: mustParseDay('2026-05-12') }) // '7f3a-eve-2026-05-12'
 */
export function bundleKey({ lineId, kind, aboutOn }: ReminderBundle): string {
  return `${lineId}-${kind}-${formatDay(aboutOn)}`
}
