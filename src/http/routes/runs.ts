import { z } from 'zod'
import { latestRuns } from '../../app/batch-run.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'

const runs = route({
  method: 'get',
  path: '/v1/runs',
  tag: 'Operation',
  summary: 'Work on many records: when it began and ended and what came of it, newest first',
  roles: ['officer', 'operator'],
  params: none,
  query: none,
  body: noBody,
  status: 200,
  answer: z.object({
    runs: z.array(
      z.object({
        id,
        kind: z.string(),
        startedAt: z.iso.datetime(),
        endedAt: z.iso.datetime().nullable().describe('Null: it is under way, or it died.'),
        counts: z.record(z.string(), z.number()).nullable(),
        trouble: z.string().nullable(),
      }),
    ),
  }),
  contentType: 'application/json',
  district: () => null,
  handle: async ({ db }) => ({
    runs: (await latestRuns(db)).map((run) => ({
      ...run,
      startedAt: run.startedAt.toISOString(),
      endedAt: run.endedAt?.toISOString() ?? null,
    })),
  }),
})

export const RUN_ROUTES = [runs]
