import { Router } from 'express'
import { calendarOf } from '../app/calendar-links.ts'
import type { Deps } from '../app/deps.ts'

/** Calendars by their secret link: calendar programs send no token. */
export function calendarRouter(deps: Deps): Router {
  const router = Router()
  router.get('/calendars/:secret.ics', async (request, response) => {
    const calendar = await calendarOf(deps.database.db, deps, request.params.secret)
    response.set('cache-control', 'private, max-age=3600').type('text/calendar; charset=utf-8').send(calendar)
  })
  return router
}
