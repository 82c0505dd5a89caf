import { laneFor, lanesOf } from '../app/lanes.ts'
import type { Gateway } from '../app/ports.ts'
import { reportAvailability } from '../app/report-availability.ts'
import type { Metrics } from '../platform/metrics.ts'
import { readDeliveryState } from '../store/delivery-state.ts'
import type { Service } from './service.ts'

const AVAILABILITY_DAYS = 30

/** A gateway whose answers are counted. */
export function meteredGateway(gateway: Gateway, metrics: Metrics): Gateway {
  return {
    ...gateway,
    submit: async (text) => {
      const begun = performance.now()
      const answer = await gateway.submit(text)
      const lane = laneFor(lanesOf(gateway), text.to).name
      metrics.noteAnswer({ lane, kind: answer.kind, seconds: (performance.now() - begun) / 1000 })
      return answer
    },
  }
}

/** Has the metrics read how the service stands. */
export function readService({ deps, queueDepths }: Service, metrics: Metrics): void {
  metrics.readWhenAsked(async () => {
    const now = deps.clock.now()
    const state = await readDeliveryState(deps.database.db, null, now)
    const oldestSeconds =
      state.oldestDueAt === null ? 0 : (now.getTime() - state.oldestDueAt.getTime()) / 1000
    return {
      duebell_queue_jobs: [...(await queueDepths())].map(([queue, value]) => ({ labels: { queue }, value })),
      duebell_reminders_due: [{ value: state.due }],
      duebell_reminder_oldest_due_age_seconds: [{ value: oldestSeconds }],
      duebell_texts_out: [
        { labels: { status: 'waiting' }, value: state.waiting },
        { labels: { status: 'sending' }, value: state.sending },
      ],
      duebell_texts_in: [
        { labels: { status: 'unread' }, value: state.unread },
        { labels: { status: 'parked' }, value: state.parked },
      ],
      duebell_hand_over_lag_seconds: known(state.handOverSeconds),
      duebell_receipt_lag_seconds: known(state.receiptSeconds),
      duebell_availability_ratio: [
        { value: (await reportAvailability(deps, AVAILABILITY_DAYS)).service.ratio ?? 1 },
      ],
      duebell_texts_without_receipt: [{ value: state.withoutReceipt }],
    }
  })
}

function known(value: number | null) {
  return value === null ? [] : [{ value }]
}
