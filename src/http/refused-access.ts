import type { RequestHandler, Response } from 'express'
import { noteRefusedAccess } from '../app/audit/note-refused-access.ts'
import type { Deps } from '../app/deps.ts'

/** Who asked, as far as is known. */
interface Asking {
  readonly actor: string
  readonly districtId: string | null
}

/** Remembers who asks, for the record where the answer is no. */
export function noteWhenRefused(response: Response, asking: Asking): void {
  response.locals['asking'] = asking
}

/** Marks a refusal whose answer is a page that leads back: a wrong code, link or token. */
export function noteAsRefused(response: Response): void {
  response.locals['refused'] = true
}

const REFUSED: ReadonlySet<number> = new Set([401, 403])
const NOBODY: Asking = { actor: 'nobody', districtId: null }

/** Keeps every access that was refused, and warns of bursts. */
export function refusedAccess(deps: Deps): RequestHandler {
  return function watchForRefusal(request, response, next) {
    const { method, path } = request
    const address = request.ip ?? 'unknown'
    response.on('finish', () => {
      if (!REFUSED.has(response.statusCode) && response.locals['refused'] !== true) return
      const asking = (response.locals['asking'] as Asking | undefined) ?? NOBODY
      void noteRefusedAccess(deps, { ...asking, page: `${method} ${path}`, address }).catch(
        (error: unknown) => {
          deps.log.error('a refused access could not be noted', { error })
        },
      )
    })
    next()
  }
}
