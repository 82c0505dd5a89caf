import express from 'express'
import type { Express, Request } from 'express'
import helmet from 'helmet'
import type { Deps } from '../app/deps.ts'
import type { CallbackReceiver } from '../app/ports.ts'
import { Refusal } from '../core/refusals.ts'
import { apiRouter } from './api.ts'
import { calendarRouter } from './calendars.ts'
import { callbackRouter } from './callbacks.ts'
import { capabilityStatement } from './fhir/capability.ts'
import { healthRouter } from './health.ts'
import { limitGuessing, limitRequests } from './limits.ts'
import type { RequestLimits } from './limits.ts'
import { openApiDocument } from './openapi.ts'
import { docsRouter } from './pages/docs.ts'
import { problemHandler } from './problems.ts'
import { refusedAccess } from './refused-access.ts'
import { ROUTES } from './routes/all.ts'

export interface ServerOptions {
  readonly deps: Deps
  readonly version: string
  /** The gateways whose provider calls us, by name. */
  readonly receivers: ReadonlyMap<string, CallbackReceiver>
  /** Pages beside the API: the phone page, the district pages. */
  readonly pages: readonly express.Router[]
  /** Left out: nothing is limited, as in tests. */
  readonly limits?: RequestLimits
  /** How many proxies in front name the caller's address; 0 where left out. */
  readonly trustedProxies?: number
}

const MAX_BODY = '256kb'
/** Two hundred children or doses. */
const MAX_BUNDLE = '1mb'
const JSON_TYPES = ['application/json', 'application/fhir+json']

const OWN = ["'self'"]
const NONE = ["'none'"]

/** What pages may load: files of this service. Nothing inline, nothing from elsewhere. */
const CONTENT_POLICY = {
  'default-src': NONE,
  'object-src': NONE,
  'script-src': OWN,
  'style-src': OWN,
  'img-src': [...OWN, 'data:'],
  'connect-src': OWN,
  'form-action': OWN,
  'base-uri': NONE,
  'frame-ancestors': NONE,
}

/** The web side of a process that offers the API and the pages; listening is left to the caller. */
export function buildServer(options: ServerOptions): Express {
  const { deps, version, pages, limits } = options
  const app = openServer(options)
  if (limits !== undefined) app.use(limitRequests(limits))
  const document = openApiDocument(ROUTES, version)
  app.get('/v1/openapi.json', (_request, response) => {
    response.json(document)
  })
  app.use(
    '/v1',
    keepNoCopy,
    refuseBodiesBut(['application/json']),
    // Nothing is unpacked: a small body never becomes a large one.
    express.json({
      limit: MAX_BODY,
      inflate: false,
      strict: false,
      type: 'application/json',
      reviver: storable,
    }),
    refuseOddBodies,
  )
  app.get('/fhir/R4/metadata', (_request, response) => {
    response.type('application/fhir+json').send(JSON.stringify(capabilityStatement(version)))
  })
  app.use(
    '/fhir/R4',
    keepNoCopy,
    refuseBodiesBut(JSON_TYPES),
    express.json({ limit: MAX_BUNDLE, inflate: false, type: JSON_TYPES, reviver: storable }),
    refuseOddBodies,
  )
  app.use(apiRouter(deps, ROUTES))
  app.use(calendarRouter(deps))
  app.use(docsRouter())
  for (const page of pages) app.use(page)
  return closeServer(app, deps)
}

/** The web side of any other process: its health and, where it receives, the callbacks of providers. */
export function buildCallbackServer(options: Omit<ServerOptions, 'version' | 'pages'>): Express {
  return closeServer(openServer(options), options.deps)
}

/** What every process serves. */
function openServer(options: Omit<ServerOptions, 'version' | 'pages'>): Express {
  const { deps, receivers, limits, trustedProxies = 0 } = options
  const app = express()
  app.set('trust proxy', trustedProxies)
  app.disable('x-powered-by')
  app.use(
    helmet({
      contentSecurityPolicy: { useDefaults: false, directives: CONTENT_POLICY },
      referrerPolicy: { policy: 'same-origin' },
    }),
  )
  app.use(healthRouter(deps))
  app.use(refusedAccess(deps))
  app.use(refuseNulInAddress)
  if (limits !== undefined) app.use(limitGuessing(limits))
  // Callbacks read their own raw bodies: a provider may send any encoding.
  app.use('/callbacks', callbackRouter(receivers))
  return app
}

/** What answers where nothing else did. */
function closeServer(app: Express, deps: Deps): Express {
  app.use((request: Request) => {
    throw new Refusal('route-not-found', `There is no ${request.method} ${request.path}; see /docs.`)
  })
  app.use(problemHandler(deps.log))
  return app
}

/** Answers name children: no browser or proxy keeps them. */
function keepNoCopy(_request: Request, response: express.Response, next: express.NextFunction): void {
  response.set('cache-control', 'no-store')
  next()
}

function refuseNulInAddress(request: Request, _response: express.Response, next: express.NextFunction): void {
  if (request.url.includes('%00')) throw new Refusal('input-invalid', 'The address holds a NUL letter.')
  next()
}

/** What Postgres does not hold: NUL in text, and half of a surrogate pair in JSON. */
const UNSTORABLE = /[\0\p{Surrogate}]/u

/** Text as it can be stored: without NUL, and with U+FFFD for half of a pair. */
function storable(_key: string, value: unknown): unknown {
  if (typeof value !== 'string' || !UNSTORABLE.test(value)) return value
  return Buffer.from(value.replaceAll('\0', '')).toString()
}

/** Deeper than anything that is sent here; checks that go down a value by themselves would run out of stack. */
const DEEPEST_BODY = 40

/** Refuses JSON that cannot be stored: too deep, or with a field whose name is no text. */
function refuseOddBodies(request: Request, _response: express.Response, next: express.NextFunction): void {
  let level: readonly unknown[] = [request.body]
  for (let depth = 0; level.length > 0; depth += 1) {
    if (depth > DEEPEST_BODY) throw new Refusal('body-malformed', 'Send JSON that is less deeply nested.')
    level = level.flatMap((value) => {
      if (typeof value !== 'object' || value === null) return []
      if (Object.keys(value).some((key) => UNSTORABLE.test(key)))
        throw new Refusal('body-malformed', 'The name of a field holds letters that are none.')
      return Object.values(value as Record<string, unknown>)
    })
  }
  next()
}

/** A body that is not JSON is refused by name rather than read as nothing. */
function refuseBodiesBut(types: string[]): express.RequestHandler {
  return function refuseOtherBodies(request, _response, next) {
    const hasBody =
      request.headers['content-length'] !== undefined || request.headers['transfer-encoding'] !== undefined
    if (hasBody && request.headers['content-length'] !== '0' && request.is(types) === false) {
      throw new Refusal('media-type-unsupported', `Send ${types.join(' or ')} in UTF-8, not compressed.`)
    }
    next()
  }
}
