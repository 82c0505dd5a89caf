import type { Request, RequestHandler, Response } from 'express'
import { digest } from '../app/tokens.ts'
import { Refusal } from '../core/refusals.ts'

/**
 * What is limited, each within a minute: requests from one address, requests with one token, answers "sign in first"
 * to one address, tries to sign in from one address.
 */
export type LimitName = 'addresses' | 'tokens' | 'refusals' | 'sign-ins'

/** Counters that all processes share. Neither call ever fails. */
export interface RequestLimits {
  /** Counts one more; answers the seconds to wait, 0 where the limit still holds. */
  readonly take: (limit: LimitName, key: string) => Promise<number>
  /** The same without counting. */
  readonly wait: (limit: LimitName, key: string) => Promise<number>
}

/** Stops an address that goes on guessing secrets; serves callbacks too, whose honest callers come in bursts. */
export function limitGuessing(limits: RequestLimits): RequestHandler {
  return async function stopGuessing(request, response, next) {
    const address = addressOf(request)
    refuseFor(response, await limits.wait('refusals', address))
    response.on('finish', () => {
      if (response.statusCode === 401) void limits.take('refusals', address)
    })
    next()
  }
}

/** Keeps any one address or token from taking the service away from the others. */
export function limitRequests(limits: RequestLimits): RequestHandler {
  return async function stopFlood(request, response, next) {
    const address = addressOf(request)
    refuseFor(response, await limits.take('addresses', address))
    const { authorization } = request.headers
    // The digest: no secret goes to Redis.
    if (authorization !== undefined) refuseFor(response, await limits.take('tokens', digest(authorization)))
    if (request.method === 'POST' && request.path.startsWith('/sign-in'))
      refuseFor(response, await limits.take('sign-ins', address))
    next()
  }
}

/** Behind proxies that TRUSTED_PROXIES counts, the address they name; else the one that is connected. */
function addressOf({ ip = 'unknown' }: Request): string {
  return ip
}

/** @throws {Refusal} too-many-requests */
function refuseFor(response: Response, seconds: number): void {
  if (seconds === 0) return
  response.set('retry-after', String(seconds))
  throw new Refusal('too-many-requests', `Wait ${seconds} seconds; docs/security.md says what is counted.`, {
    facts: { retryAfterSeconds: seconds },
  })
}
