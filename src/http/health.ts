import { Router } from 'express'
import type { Deps } from '../app/deps.ts'
import { isReady } from '../app/is-ready.ts'

/**
 * For whatever runs the service: `/health/live` answers while the process does, `/health/ready` while the database
 * does too. A process that is alive and not ready wants patience, not a restart.
 */
export function healthRouter(deps: Deps): Router {
  const router = Router()
  router.use('/health', (_request, response, next) => {
    response.set('cache-control', 'no-store')
    next()
  })
  router.get('/health/live', (_request, response) => {
    response.json({ status: 'live' })
  })
  router.get('/health/ready', async (_request, response) => {
    const ready = await isReady(deps)
    response.status(ready ? 200 : 503).json({ status: ready ? 'ready' : 'database-silent' })
  })
  return router
}
