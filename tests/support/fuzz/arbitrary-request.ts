import fc from 'fast-check'
import { NASTY, spoil, valueOf } from './arbitrary-value.ts'
import type { JsonSchema, ValueSource } from './arbitrary-value.ts'

/** A request as it goes over the wire. */
export interface WireRequest {
  /** As the document says: `POST /v1/children`. */
  readonly operation: string
  readonly method: string
  readonly path: string
  readonly headers: Readonly<Record<string, string>>
  /** Each letter a byte, so that a failure can be read. */
  readonly body: string | null
}

interface Parameter {
  readonly in: string
  readonly name: string
  readonly schema: JsonSchema
}

/** The part of an OpenAPI document that says what can be sent. */
export interface ApiDocument {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>
  readonly components: { readonly schemas: Readonly<Record<string, JsonSchema>> }
}

interface Operation {
  readonly parameters?: readonly Parameter[]
  readonly requestBody?: { readonly content: Readonly<Record<string, { readonly schema: JsonSchema }>> }
}

export interface FuzzWorld {
  readonly known: ValueSource['known']
  /** Values of the Authorization header, right ones and others. */
  readonly authorizations: (operation: string) => readonly string[]
}

/** Requests to every operation of a document, most of them wrong in one place. */
export function requestsFor(document: ApiDocument, world: FuzzWorld): fc.Arbitrary<WireRequest> {
  const source = { schemas: document.components.schemas, known: world.known }
  const all = Object.entries(document.paths).flatMap(([path, operations]) =>
    Object.entries(operations).map(([method, operation]) =>
      requestTo({ method: method.toUpperCase(), path, operation }, source, world),
    ),
  )
  return fc.oneof(...all)
}

interface Target {
  readonly method: string
  readonly path: string
  readonly operation: Operation
}

function requestTo(
  { method, path, operation }: Target,
  source: ValueSource,
  world: FuzzWorld,
): fc.Arbitrary<WireRequest> {
  const name = `${method} ${path}`
  const schema = operation.requestBody?.content['application/json']?.schema
  return fc
    .record({
      path: pathOf(path, operation, source),
      query: queryOf(operation, source),
      headers: headersOf(world.authorizations(name)),
      body: schema === undefined ? strayBody : bodyOf(schema, source),
      method: fc.oneof(
        { weight: 30, arbitrary: fc.constant(method) },
        { weight: 1, arbitrary: fc.constantFrom('DELETE', 'PUT', 'OPTIONS', 'HEAD', 'TRACE', 'PROPFIND') },
      ),
    })
    .map(({ path: filled, query, headers, body, method: verb }) => ({
      operation: name,
      method: verb,
      path: query === '' ? filled : `${filled}?${query}`,
      headers: { ...(body === null ? {} : { 'content-type': 'application/json' }), ...headers },
      body,
    }))
}

const parametersIn = ({ parameters = [] }: Operation, place: string): readonly Parameter[] =>
  parameters.filter((parameter) => parameter.in === place)

/** What stands in an address may be anything that a line of HTTP can carry. */
const rawPart = fc.oneof(
  fc.constantFrom(...NASTY.map((bad) => escaped(bad))),
  fc.constantFrom(
    '%',
    '%E0%A4%A',
    '%ZZ',
    '%00',
    '%2e%2e%2f',
    '..',
    '.',
    '%c0%ae',
    ';',
    '*',
    '~',
    '%'.repeat(50),
  ),
  fc.string().map(escaped),
)

function escaped(value: unknown): string {
  const text = typeof value === 'string' ? value : JSON.stringify(value)
  // Half of a pair of letters has no escape.
  return encodeURIComponent(Buffer.from(text).toString()).slice(0, 6000)
}

function mostly<Value>(right: fc.Arbitrary<Value>, wrong: fc.Arbitrary<Value>): fc.Arbitrary<Value> {
  return fc.oneof({ weight: 3, arbitrary: right }, { weight: 1, arbitrary: wrong })
}

function pathOf(path: string, operation: Operation, source: ValueSource): fc.Arbitrary<string> {
  const parts = parametersIn(operation, 'path').map(
    ({ name, schema }) => [name, mostly(valueOf(schema, source, name).map(escaped), rawPart)] as const,
  )
  return fc
    .record(Object.fromEntries(parts))
    .map((values) => path.replace(/\{(\w+)\}/g, (_whole, name: string) => values[name] ?? ''))
}

function queryOf(operation: Operation, source: ValueSource): fc.Arbitrary<string> {
  const pairs = parametersIn(operation, 'query').map(({ name, schema }) =>
    mostly(valueOf(schema, source, name).map(escaped), rawPart).map((value) => `${name}=${value}`),
  )
  const odd = fc.oneof(
    rawPart,
    rawPart.map((part) => `unheardOf=${part}`),
    fc.constantFrom('a[b][c]=d', '__proto__[x]=1', '&&&', '=', 'limit=1&limit=2', 'limit[]=1'),
  )
  const some =
    pairs.length === 0 ? fc.constant<string[]>([]) : fc.subarray(pairs).chain((few) => fc.tuple(...few))
  return mostly(
    some.map((few) => few.join('&')),
    fc.tuple(some, odd).map(([few, more]) => [...few, more, ...few].join('&')),
  )
}

/** Header values hold printable ASCII; what else a socket may bring, the server itself refuses. */
const headerText = fc.string({ maxLength: 300 }).map((text) => text.replace(/[^ -~]/g, '~'))

function headersOf(authorizations: readonly string[]): fc.Arbitrary<Record<string, string>> {
  const authorization = fc.oneof(
    { weight: 20, arbitrary: fc.constantFrom(...authorizations) },
    { weight: 1, arbitrary: headerText },
  )
  const odd = fc.oneof(
    headerText.map((key) => ({ 'idempotency-key': key })),
    fc
      .constantFrom(
        'text/plain',
        'application/x-www-form-urlencoded',
        'multipart/form-data; boundary=x',
        'application/json; charset=utf-16',
        'application/json; charset=nonsense',
        'application/jsonx',
        ';;;',
        '',
      )
      .map((type) => ({ 'content-type': type })),
    fc.constantFrom('gzip', 'br', 'deflate', 'zstd', 'x').map((coding) => ({ 'content-encoding': coding })),
    headerText.map((accept) => ({ accept })),
    headerText.map((cookie) => ({ cookie: `duebell_session=${cookie}` })),
    headerText.map((address) => ({ 'x-forwarded-for': address, 'x-forwarded-proto': address })),
    headerText.map((host) => ({ 'x-http-method-override': host, range: host, 'if-none-match': host })),
  )
  return fc
    .tuple(authorization, mostly(fc.constant({}), odd))
    .map(([first, more]) => ({ ...(first === '' ? {} : { authorization: first }), ...more }))
}

const bytesOf = (text: string): string => Buffer.from(text).toString('latin1')
const json = (value: unknown): string => bytesOf(JSON.stringify(value))

const brokenBody = fc.oneof(
  fc.jsonValue().map((value) => json(value).slice(0, -1)),
  fc.uint8Array({ maxLength: 200 }).map((bytes) => Buffer.from(bytes).toString('latin1')),
  fc.constantFrom('', '{', '[1,', '{"a":1}}', '{"a":1,"a":2}', 'null', '17', '"x"', '[]', '{"__proto__":1}'),
  fc.constant(`{"name":"${'A'.repeat(300_000)}"}`),
  fc.constant('['.repeat(2000)),
  fc.constant(`${'['.repeat(2000)}${']'.repeat(2000)}`),
)

/** Routes that take no body get one now and then. */
const strayBody = fc.oneof({ weight: 9, arbitrary: fc.constant(null) }, { weight: 1, arbitrary: brokenBody })

function bodyOf(schema: JsonSchema, source: ValueSource): fc.Arbitrary<string | null> {
  const right = valueOf(schema, source)
  return fc.oneof(
    { weight: 8, arbitrary: right.chain(spoil).map(json) },
    { weight: 4, arbitrary: right.map(json) },
    { weight: 2, arbitrary: fc.jsonValue().map(json) },
    { weight: 2, arbitrary: brokenBody },
    { weight: 1, arbitrary: fc.constant(null) },
  )
}
