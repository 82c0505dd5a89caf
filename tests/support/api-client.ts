import type { Route } from '../../src/http/route.ts'
import { ROUTES } from '../../src/http/routes/all.ts'
import { faultsOf } from './fhir-validity.ts'

/** One request to the API. */
export interface ApiRequest {
  /** Left out: none is sent. */
  readonly token?: string
  /** Sent as JSON; a string is sent as it stands. */
  readonly body?: unknown
  readonly headers?: Readonly<Record<string, string>>
}

export interface ApiReply {
  readonly status: number
  readonly type: string
  /** Parsed where it is JSON of any kind, else the text. */
  readonly body: unknown
}

/** Calls a service over HTTP and proves each answer against what its route promises. */
export type ApiClient = (method: string, path: string, request?: ApiRequest) => Promise<ApiReply>

/** A client of the service at an address. */
export function apiClient(address: string): ApiClient {
  return async (method, path, { token, body, headers = {} } = {}) => {
    const response = await fetch(`${address}${path}`, {
      method,
      headers: {
        ...(token === undefined ? {} : { authorization: `Bearer ${token}` }),
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        ...headers,
      },
      ...(body === undefined ? {} : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
    })
    const type = response.headers.get('content-type')?.split(';')[0] ?? ''
    const text = await response.text()
    const reply = { status: response.status, type, body: /[/+]json$/.test(type) ? parse(text) : text }
    expectPromised(method, path, reply)
    return reply
  }
}

function parse(text: string): unknown {
  return JSON.parse(text)
}

/** What is not done is a problem document; what is done has the shape of its route and nothing beyond it. */
function expectPromised(method: string, path: string, reply: ApiReply): void {
  if (path.startsWith('/fhir/')) {
    expectFhir(method, path, reply)
    return
  }
  if (reply.status >= 400) {
    expect(reply.type).toBe('application/problem+json')
    expect(reply.body).toMatchObject({ status: reply.status, code: expect.any(String) as string })
    return
  }
  const route = routeOf(method, path)
  if (route === undefined) return
  expect([route.contentType, route.status]).toEqual([reply.type, reply.status])
  expect(route.answer.parse(reply.body)).toEqual(reply.body)
}

/** Every resource that leaves the service is valid FHIR R4; what is not done is an OperationOutcome. */
function expectFhir(method: string, path: string, reply: ApiReply): void {
  const route = routeOf(method, path)
  if (reply.status >= 400) {
    expect(reply.type).toBe('application/fhir+json')
    expect(reply.body).toMatchObject({ resourceType: 'OperationOutcome' })
  } else if (route !== undefined) {
    expect([route.contentType, route.status]).toEqual([reply.type, reply.status])
  }
  if (reply.type === 'application/fhir+json') expect(faultsOf(reply.body)).toEqual([])
}

function routeOf(method: string, path: string): Route | undefined {
  const [address = ''] = path.split('?')
  return ROUTES.find((route) => route.method === method.toLowerCase() && patternOf(route.path).test(address))
}

const patternOf = (path: string): RegExp =>
  new RegExp(`^${path.replaceAll('$', '\\$').replace(/\{\w+\}/g, '[^/]+')}$`)
