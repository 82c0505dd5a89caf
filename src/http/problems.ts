import type { ErrorRequestHandler, Request, Response } from 'express'
import { z } from 'zod'
import type { Log } from '../app/ports.ts'
import { Refusal, REFUSALS } from '../core/refusals.ts'
import type { RefusalCode } from '../core/refusals.ts'
import { issueType, outcomeResource } from '../core/exchange/outcome.ts'
import { InputProblem } from './route.ts'

/** A problem document (RFC 9457): what is wrong and what to do about it. */
export interface Problem {
  readonly type: string
  readonly title: string
  readonly status: number
  readonly code: string
  readonly detail: string
  readonly [fact: string]: unknown
}

function problemOf(
  code: RefusalCode,
  detail: string,
  facts: Readonly<Record<string, unknown>> = {},
): Problem {
  const { status, title } = REFUSALS[code]
  return { ...facts, type: `urn:duebell:problem:${code}`, title, status, code, detail }
}

/** What body-parser says of a body it cannot take; `expose` marks what is the sender's own fault. */
const bodyError = z.object({ expose: z.literal(true), status: z.int().min(400).max(499) })

function problemOfBody(error: unknown): Problem | undefined {
  const parsed = bodyError.safeParse(error)
  if (!parsed.success) return undefined
  switch (parsed.data.status) {
    case 413:
      return problemOf('body-too-large', 'Send less at once, or use the register import for many children.')
    case 415:
      return problemOf('media-type-unsupported', 'Send application/json in UTF-8, not compressed.')
    default:
      return problemOf('body-malformed', 'Send one JSON value, complete and in UTF-8.')
  }
}

const internal: Problem = {
  type: 'urn:duebell:problem:internal',
  title: 'Something went wrong here',
  status: 500,
  code: 'internal',
  detail: 'The fault is ours and has been noted; nothing was changed. Try again later.',
}

/** The problem an error stands for; what is no expected "no" is a fault of ours. */
export function problemFrom(error: unknown): Problem {
  if (error instanceof Refusal) return problemOf(error.code, error.detail, error.facts)
  if (error instanceof InputProblem) {
    const detail = error.issues.map(({ where, message }) => `${where}: ${message}`).join('; ')
    return problemOf('input-invalid', detail, { issues: error.issues })
  }
  if (error instanceof URIError) return problemOf('input-invalid', 'The address holds a broken % sequence.')
  return problemOfBody(error) ?? internal
}

function sendProblem(request: Request, response: Response, problem: Problem): void {
  if (request.originalUrl.startsWith('/fhir/')) sendOutcome(response, problem)
  else response.status(problem.status).type('application/problem+json').send(JSON.stringify(problem))
}

/** Where FHIR is spoken, the same problem is an OperationOutcome. */
function sendOutcome(response: Response, { status, code, detail }: Problem): void {
  const outcome = outcomeResource([{ severity: 'error', type: issueType(status), code, detail }])
  response.status(status).type('application/fhir+json').send(JSON.stringify(outcome))
}

/** The last handler: every error becomes a problem document, and faults of ours are noted. */
export function problemHandler(log: Log): ErrorRequestHandler {
  return function answerProblem(error: unknown, request, response, next) {
    const problem = problemFrom(error)
    if (problem === internal)
      log.error('request failed', { error: error instanceof Error ? error.stack : String(error) })
    if (response.headersSent) next(error)
    else sendProblem(request, response, problem)
  }
}
