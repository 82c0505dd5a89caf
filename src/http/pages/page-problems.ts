import type { ErrorRequestHandler } from 'express'
import type { Log } from '../../app/ports.ts'
import { Refusal } from '../../core/refusals.ts'
import { problemFrom } from '../problems.ts'
import { html } from './html.ts'
import { plainPage } from './layout.ts'

/** Every error of a page becomes a page; whoever is not signed in is asked to. */
export function pageProblems(log: Log): ErrorRequestHandler {
  return function answerPageProblem(error: unknown, request, response, next) {
    if (response.headersSent) {
      next(error)
      return
    }
    if (error instanceof Refusal && error.code === 'not-signed-in' && request.method === 'GET') {
      const query = new URLSearchParams({ next: request.originalUrl })
      response.redirect(303, `/sign-in?${query.toString()}`)
      return
    }
    const problem = problemFrom(error)
    if (problem.status >= 500)
      log.error('page failed', { error: error instanceof Error ? error.stack : String(error) })
    const { title, detail, status } = problem
    const body = html`<h1>${title}</h1>
      <p>${detail}</p>
      <p><a href="/district">To the district</a></p>`
    response.status(status).type('html').send(plainPage(title, body))
  }
}
