/** What the service tells Prometheus, by the conventions for names: a unit at the end, `_total` for what only grows. */
import { collectDefaultMetrics, Counter, Gauge, Histogram, Registry } from 'prom-client'

/** Values of a gauge, each with its labels. */
export type Reading = readonly {
  readonly labels?: Readonly<Record<string, string>>
  readonly value: number
}[]

export interface Metrics {
  /** A gateway answered a text. */
  readonly noteAnswer: (answer: {
    readonly lane: string
    readonly kind: string
    readonly seconds: number
  }) => void
  /** Asks for these readings, by the name of their gauge, whenever someone looks. */
  readonly readWhenAsked: (read: () => Promise<Readonly<Record<GaugeName, Reading>>>) => void
  /** Everything in the text format, and its content type. */
  readonly text: () => Promise<string>
  readonly contentType: string
}

const GAUGES = {
  duebell_queue_jobs: ['Jobs on the conveyor that wait or are under way', 'queue'],
  duebell_reminders_due: ['Reminders that are due and not taken yet'],
  duebell_reminder_oldest_due_age_seconds: ['How long the oldest of them has been due'],
  duebell_texts_out: ['Texts that wait or are being sent', 'status'],
  duebell_texts_in: ['Texts that nobody has answered yet, or that were put aside', 'status'],
  duebell_hand_over_lag_seconds: ['Median time from a text to its hand-over, of the last quarter of an hour'],
  duebell_receipt_lag_seconds: [
    'Median time from hand-over to the end of a text, of the last quarter of an hour',
  ],
  duebell_availability_ratio: ['Share of the minutes of the last thirty days in which every role worked'],
  duebell_texts_without_receipt: [
    'Texts handed over in the last quarter of an hour of which the network said nothing',
  ],
} as const
export type GaugeName = keyof typeof GAUGES

const SECONDS = [0.01, 0.05, 0.1, 0.5, 1, 5, 10, 30, 60]

export function openMetrics(): Metrics {
  const registry = new Registry()
  const registers = [registry]
  collectDefaultMetrics({ register: registry })
  const answers = new Counter({
    name: 'duebell_gateway_answers_total',
    help: 'What gateways answered',
    labelNames: ['lane', 'answer'],
    registers,
  })
  const duration = new Histogram({
    name: 'duebell_gateway_submit_duration_seconds',
    help: 'How long it took until a gateway answered, waiting for a turn included',
    labelNames: ['lane'],
    buckets: SECONDS,
    registers,
  })
  const gauges = new Map(
    Object.entries(GAUGES).map(([name, [help, ...labelNames]]) => [
      name,
      new Gauge({ name, help, labelNames, registers }),
    ]),
  )
  let read: () => Promise<Readonly<Record<string, Reading>>> = () => Promise.resolve({})
  return {
    noteAnswer: ({ lane, kind, seconds }) => {
      answers.inc({ lane, answer: kind })
      duration.observe({ lane }, seconds)
    },
    readWhenAsked: (next) => {
      read = next
    },
    text: async () => {
      for (const [name, reading] of Object.entries(await read())) {
        const gauge = gauges.get(name)
        gauge?.reset()
        for (const { labels = {}, value } of reading) gauge?.set(labels, value)
      }
      return registry.metrics()
    },
    contentType: registry.contentType,
  }
}
