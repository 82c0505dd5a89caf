import type { CookieOptions, Request, Response } from 'express'

const NAME = 'duebell_session'

/** The secret of the session a browser is in. */
export function sessionSecret(request: Request): string | undefined {
  const start = `${nameOf(request)}=`
  const cookies = (request.headers.cookie ?? '').split('; ')
  return cookies.find((cookie) => cookie.startsWith(start))?.slice(start.length)
}

/** A browser takes a `__Host-` cookie over TLS only, and lets no other host of the domain put one in its place. */
function nameOf(request: Request): string {
  return isOverTls(request) ? `__Host-${NAME}` : NAME
}

function isOverTls(request: Request): boolean {
  return request.secure || request.get('x-forwarded-proto') === 'https'
}

/** Never read by scripts, never sent from another site; over TLS, never without it. It ends with the browser. */
function options(request: Request): CookieOptions {
  return { httpOnly: true, sameSite: 'strict', secure: isOverTls(request), path: '/' }
}

export function giveSession(request: Request, response: Response, secret: string): void {
  response.cookie(nameOf(request), secret, options(request))
}

/** Ends it in the browser too, with every page that was kept of it. */
export function takeSession(request: Request, response: Response): void {
  response.clearCookie(nameOf(request), options(request)).set('clear-site-data', '"cache", "storage"')
}
