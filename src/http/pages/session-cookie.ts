import type { CookieOptions, Request, Response } from 'express'

const NAME = 'duebell_session'

/** The secret of the session a browser is in. */
export function sessionSecret(request: Request): string | undefined {
  const cookies = (request.headers.cookie ?? '').split('; ')
  return cookies.find((cookie) => cookie.startsWith(`${NAME}=`))?.slice(NAME.length + 1)
}

/** Never read by scripts, never sent from another site; over TLS, never without it. It ends with the browser. */
function options(request: Request): CookieOptions {
  const isSecure = request.secure || request.get('x-forwarded-proto') === 'https'
  return { httpOnly: true, sameSite: 'strict', secure: isSecure, path: '/' }
}

export function giveSession(request: Request, response: Response, secret: string): void {
  response.cookie(NAME, secret, options(request))
}

export function takeSession(request: Request, response: Response): void {
  response.clearCookie(NAME, options(request))
}
