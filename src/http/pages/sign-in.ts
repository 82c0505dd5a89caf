import { Router, urlencoded } from 'express'
import type { Request, Response } from 'express'
import { z } from 'zod'
import type { Deps } from '../../app/deps.ts'
import { signOut } from '../../app/pages/page-session.ts'
import { sendSignInCode, signInByCode, signInByLink, signInByToken } from '../../app/pages/sign-in.ts'
import type { Secrets } from '../../app/pages/sign-in.ts'
import { noteAsRefused } from '../refused-access.ts'
import { proven, proveForm, proveOwnSite, signedIn } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { plainPage } from './layout.ts'
import { giveSession, takeSession } from './session-cookie.ts'

const HOME = '/district'

/** Where to go after signing in: a page of this site and no other. */
const next = z
  .string()
  .regex(/^\/districts?(?:\/[\w./-]*)?(?:\?[\w=&.%-]*)?$/)
  .catch(HOME)

const signInQuery = z.object({ next, link: z.string().max(100).optional(), failed: z.string().optional() })
const codeQuery = z.object({ next, id: z.uuid(), failed: z.string().optional() })
const numberForm = z.object({ next, number: z.string().max(40) })
const codeForm = z.object({ next, id: z.uuid(), code: z.string().max(40) })
const linkForm = z.object({ next, link: z.string().max(100) })
const tokenForm = z.object({ next, token: z.string().max(200) })

/** The ways into the pages and out of them. */
export function signInRouter(deps: Deps, secrets: Secrets): Router {
  const router = Router()
  router.use('/sign-in', urlencoded({ extended: false, limit: '4kb' }), (request, _response, proceed) => {
    if (request.method === 'POST') proveOwnSite(request)
    proceed()
  })
  router.get('/sign-in', (request, response) => {
    const asked = proven(signInQuery, request.query)
    send(response, asked.link === undefined ? numberPage(asked) : linkPage(asked.link, asked.next))
  })
  router.post('/sign-in/number', async (request, response) => {
    const form = proven(numberForm, request.body)
    const id = await sendSignInCode(deps, secrets, form.number)
    response.redirect(303, withQuery('/sign-in/code', { id, next: form.next }))
  })
  router.get('/sign-in/code', (request, response) => {
    send(response, codePage(proven(codeQuery, request.query)))
  })
  router.post('/sign-in/code', async (request, response) => {
    const { id, code, next } = proven(codeForm, request.body)
    const secret = await signInByCode(deps, secrets, { id, typed: code })
    enter(request, response, {
      secret,
      next,
      failed: withQuery('/sign-in/code', { id, next, failed: 'code' }),
    })
  })
  router.post('/sign-in/link', async (request, response) => {
    const { link, next } = proven(linkForm, request.body)
    const secret = await signInByLink(deps, secrets, link)
    enter(request, response, { secret, next, failed: withQuery('/sign-in', { next, failed: 'link' }) })
  })
  router.post('/sign-in/token', async (request, response) => {
    const { token, next } = proven(tokenForm, request.body)
    const secret = await signInByToken(deps, secrets, token)
    enter(request, response, { secret, next, failed: withQuery('/sign-in', { next, failed: 'token' }) })
  })
  router.post('/sign-out', urlencoded({ extended: false, limit: '4kb' }), async (request, response) => {
    const visit = await signedIn(deps, request)
    proveForm(request, visit)
    await signOut(deps, visit.visitor)
    takeSession(request, response)
    response.redirect(303, '/sign-in')
  })
  return router
}

interface Entrance {
  readonly secret: string | undefined
  readonly next: string
  /** Where to go when nobody was let in. */
  readonly failed: string
}

function enter(request: Request, response: Response, { secret, next, failed }: Entrance): void {
  if (secret === undefined) noteAsRefused(response)
  else giveSession(request, response, secret)
  response.redirect(303, secret === undefined ? failed : next)
}

function withQuery(path: string, query: Readonly<Record<string, string>>): string {
  return `${path}?${new URLSearchParams(query).toString()}`
}

function send(response: Response, body: Markup): void {
  response.set('cache-control', 'no-store').type('html').send(plainPage('Sign in', body))
}

const FAILURES: Readonly<Record<string, string>> = {
  code: 'That code does not let you in. Look at the newest text again; after five tries or ten minutes ask for a new code.',
  link: 'That link was used before or is too old. Ask for a new one, or have a code sent.',
  token:
    'That token does not let you in. It has to be one of a manager or an officer, and not past its time.',
}

function failure(failed: string | undefined): Markup | null {
  const told = failed === undefined ? undefined : FAILURES[failed]
  return told === undefined ? null : html`<p class="warning" role="alert">${told}</p>`
}

function numberPage({ next, failed }: z.output<typeof signInQuery>): Markup {
  return html`<h1>Sign in</h1>
    ${failure(failed)}
    <form method="post" action="/sign-in/number">
      <p>We send a code to your phone, if it is on record as a manager's or an officer's.</p>
      <div class="field">
        <label for="number">Your phone number</label>
        <input id="number" name="number" type="tel" autocomplete="tel" required />
      </div>
      <input type="hidden" name="next" value="${next}" />
      <button>Send me a code</button>
    </form>
    <h2>With a token</h2>
    <form method="post" action="/sign-in/token">
      <div class="field">
        <label for="token">API token</label>
        <input id="token" name="token" type="password" autocomplete="off" required />
      </div>
      <input type="hidden" name="next" value="${next}" />
      <button class="quiet">Use the token</button>
    </form>`
}

function codePage({ id, next, failed }: z.output<typeof codeQuery>): Markup {
  return html`<h1>Type the code</h1>
    ${failure(failed)}
    <form method="post" action="/sign-in/code">
      <p>
        If the number is on record, a text with six digits is on its way. It is good for ten minutes. Nothing
        after some minutes? Wait a quarter of an hour before asking again, or ask whoever runs the service.
      </p>
      <div class="field">
        <label for="code">Code</label>
        <input id="code" name="code" inputmode="numeric" autocomplete="one-time-code" required />
      </div>
      <input type="hidden" name="id" value="${id}" />
      <input type="hidden" name="next" value="${next}" />
      <button>Sign in</button>
    </form>
    <p><a href="/sign-in">Ask for a new code</a></p>`
}

/** A button and not the link itself signs in: whatever looks at links ahead of people must not use them up. */
function linkPage(link: string, next: string): Markup {
  return html`<h1>Sign in</h1>
    <form method="post" action="/sign-in/link">
      <p>This link lets you in once.</p>
      <input type="hidden" name="link" value="${link}" />
      <input type="hidden" name="next" value="${next}" />
      <button>Sign in</button>
    </form>`
}
