import { lookup } from 'node:dns'
import type { LookupAddress, LookupOptions } from 'node:dns'
import { request as requestPlain } from 'node:http'
import type { RequestOptions } from 'node:http'
import { request as requestTls } from 'node:https'
import ipaddr from 'ipaddr.js'
import { readRetryAfter } from '../http/provider-request.ts'
import type { WebhookAnswer, WebhookPoster, WebhookPost } from '../../app/ports.ts'

type LookupFunction = NonNullable<RequestOptions['lookup']>

/** The address lies where callers from outside have no business, so it is not called. */
class ForbiddenAddress extends Error {
  override readonly name = 'ForbiddenAddress'
}

export interface PosterOptions {
  /** Hosts, with a port where it matters, that may be private and plain http. */
  readonly privateHosts: ReadonlySet<string>
  readonly timeoutMs: number
}

/** True for an address of the public Internet, also when it is written as IPv6. */
export function isPublicAddress(address: string): boolean {
  return ipaddr.isValid(address) && ipaddr.process(address).range() === 'unicast'
}

/**
 * Posts to addresses that others chose. It looks at the address it really connects to, after the name was resolved and
 * for every one of its addresses, and follows no redirect: so nobody makes it call into the network it runs in.
 */
export function webhookPoster({ privateHosts, timeoutMs }: PosterOptions): WebhookPoster {
  return {
    post: async (post) => {
      const url = new URL(post.url)
      const isPrivate = privateHosts.has(url.host) || privateHosts.has(url.hostname)
      if (url.protocol !== 'https:' && !isPrivate) {
        return { kind: 'forbidden', reason: 'only https is called' }
      }
      // A literal address is never looked up.
      const literal = url.hostname.replace(/^\[|\]$/g, '')
      if (!isPrivate && ipaddr.isValid(literal) && !isPublicAddress(literal)) {
        return { kind: 'forbidden', reason: 'the address is not a public one' }
      }
      try {
        return await send(url, post, { timeoutMs, lookup: isPrivate ? undefined : publicLookup })
      } catch (error) {
        if (error instanceof ForbiddenAddress) return { kind: 'forbidden', reason: error.message }
        return { kind: 'failed', reason: reasonOf(error) }
      }
    },
  }
}

/** A code such as ECONNREFUSED; messages may hold addresses. */
function reasonOf(error: unknown): string {
  const { code, name } = error as { readonly code?: unknown; readonly name?: unknown }
  return [code, name].find((word) => typeof word === 'string') ?? 'failure'
}

/** Resolves a name, and refuses it when one of its addresses is not public. */
const publicLookup: LookupFunction = (hostname, options, done) => {
  const all: LookupOptions & { readonly all: true } = { ...options, all: true }
  lookup(hostname, all, (error, addresses: LookupAddress[]) => {
    const [first] = addresses
    if (error !== null) done(error, '')
    else if (first === undefined || !addresses.every(({ address }) => isPublicAddress(address)))
      done(new ForbiddenAddress('the name leads to an address that is not a public one'), '')
    else if (options.all === true) done(null, addresses)
    else done(null, first.address, first.family)
  })
}

interface Way {
  readonly timeoutMs: number
  readonly lookup: LookupFunction | undefined
}

function send(url: URL, { headers, body }: WebhookPost, way: Way): Promise<WebhookAnswer> {
  const request = url.protocol === 'https:' ? requestTls : requestPlain
  return new Promise((resolve, reject) => {
    const asked = request(
      url,
      {
        method: 'POST',
        headers: { ...headers, 'content-length': Buffer.byteLength(body), 'user-agent': 'duebell' },
        signal: AbortSignal.timeout(way.timeoutMs),
        agent: false,
        ...(way.lookup === undefined ? {} : { lookup: way.lookup }),
      },
      (response) => {
        // Only the status counts; whatever else comes is not waited for.
        response.destroy()
        resolve({
          kind: 'answered',
          status: response.statusCode ?? 0,
          retryAfterMs: readRetryAfter(response.headers['retry-after'] ?? null),
        })
      },
    )
    asked.on('error', reject)
    asked.end(body)
  })
}
