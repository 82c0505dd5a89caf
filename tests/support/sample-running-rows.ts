import { at, id } from './sample-values.ts'

/** Samples of what the service notes of its own running; part of SAMPLES. */
export const RUNNING_SAMPLES = {
  batchRun: {
    id: id(40),
    kind: 'hand-over',
    startedAt: at(8),
    endedAt: at(9),
    counts: { sent: 3 },
    trouble: 'none',
  },
  serviceProcess: { id: id(41), roles: 'api', release: '0.1.0', startedAt: at(8), seenAt: at(9) },
  uptimeHour: { role: 'api', hour: at(8), minutes: 5n },
}
