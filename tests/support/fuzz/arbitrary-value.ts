import fc from 'fast-check'

/** The part of JSON Schema that our OpenAPI document uses. */
export interface JsonSchema {
  readonly $ref?: string
  readonly type?: string
  readonly enum?: readonly unknown[]
  readonly const?: unknown
  readonly anyOf?: readonly JsonSchema[]
  readonly oneOf?: readonly JsonSchema[]
  readonly format?: string
  readonly pattern?: string
  readonly minLength?: number
  readonly maxLength?: number
  readonly minimum?: number
  readonly maximum?: number
  readonly minItems?: number
  readonly maxItems?: number
  readonly items?: JsonSchema
  readonly properties?: Readonly<Record<string, JsonSchema>>
  readonly required?: readonly string[]
  readonly additionalProperties?: JsonSchema | boolean
}

/** How values are made: schemas by name, and values worth sending for a field of that name. */
export interface ValueSource {
  readonly schemas: Readonly<Record<string, JsonSchema>>
  /** Real identifiers and words, by field name; they lead requests past the first checks. */
  readonly known: Readonly<Record<string, readonly unknown[]>>
}

type Value = fc.Arbitrary<unknown>

const DEEPEST = 4

/** Values of a schema, most of them right; what is wrong is done by `spoil`. */
export function valueOf(schema: JsonSchema, source: ValueSource, name = '', depth = 0): Value {
  const known = source.known[name]
  if (known !== undefined) return fc.oneof({ weight: 4, arbitrary: fc.constantFrom(...known) }, fc.string())
  if (schema.$ref !== undefined) return named(schema.$ref, source, depth)
  const choices = schema.anyOf ?? schema.oneOf
  if (choices !== undefined)
    return fc.oneof(...choices.map((choice) => valueOf(choice, source, name, depth + 1)))
  if (schema.const !== undefined) return fc.constant(schema.const)
  if (schema.enum !== undefined) return fc.constantFrom(...schema.enum)
  return ofType(schema, source, depth)
}

function named(reference: string, source: ValueSource, depth: number): Value {
  const schema = source.schemas[reference.split('/').at(-1) ?? '']
  return schema === undefined || depth > DEEPEST ? fc.jsonValue() : valueOf(schema, source, '', depth + 1)
}

function ofType(schema: JsonSchema, source: ValueSource, depth: number): Value {
  switch (schema.type) {
    case 'object':
      return objectOf(schema, source, depth)
    case 'array':
      return listOf(schema, source, depth)
    case 'boolean':
      return fc.boolean()
    case 'null':
      return fc.constant(null)
    case 'integer':
    case 'number':
      return numberOf(schema)
    case 'string':
      return textOf(schema)
    default:
      return fc.jsonValue()
  }
}

function listOf(
  { items = {}, minItems = 0, maxItems = 3 }: JsonSchema,
  source: ValueSource,
  depth: number,
): Value {
  const bounds = { minLength: minItems, maxLength: Math.min(maxItems, 3) }
  return fc.array(valueOf(items, source, '', depth + 1), bounds)
}

function numberOf({ type, minimum, maximum }: JsonSchema): Value {
  if (type === 'number') return fc.double({ min: minimum ?? -1e6, max: maximum ?? 1e6, noNaN: true })
  return fc.integer({ min: minimum ?? -10, max: Math.min(maximum ?? 1e6, 2 ** 31 - 1) })
}

function objectOf(
  { properties = {}, required = [], additionalProperties }: JsonSchema,
  source: ValueSource,
  depth: number,
): Value {
  if (typeof additionalProperties === 'object' && Object.keys(properties).length === 0) {
    return fc.dictionary(
      fc.oneof(fc.string(), fc.constant('\u0000')),
      valueOf(additionalProperties, source, '', depth + 1),
      { maxKeys: 4 },
    )
  }
  const fields = Object.entries(properties).map(([key, schema]) => [
    key,
    valueOf(schema, source, key, depth + 1),
  ])
  return fc.record(Object.fromEntries(fields) as Record<string, Value>, { requiredKeys: [...required] })
}

function textOf({ format, minLength = 0, maxLength = 40 }: JsonSchema): Value {
  if (format === 'uuid') return fc.uuid()
  if (format === 'date') {
    return fc
      .integer({ min: 2024, max: 2027 })
      .chain((year) =>
        fc.integer({ min: 1, max: 28 }).map((day) => `${year}-03-${String(day).padStart(2, '0')}`),
      )
  }
  return fc.string({ minLength, maxLength: Math.max(minLength, Math.min(maxLength, 60)), unit: 'grapheme' })
}

const NESTED: unknown = JSON.parse(`${'['.repeat(300)}${']'.repeat(300)}`)

/** What breaks programs: wrong kinds, edges of numbers, odd letters, and words with a meaning elsewhere. */
export const NASTY: readonly unknown[] = [
  ...[null, true, false, 0, -1, -0, 0.1, 1e308, 5e-324, 2 ** 31, 2 ** 53, -(2 ** 63)],
  ...['', ' ', '\u0000', 'a\u0000b', '\ud800', '\udc00x', '\u202eabc', '\ufeff', '👩‍👩‍👧‍👦', 'é'.normalize('NFD')],
  ...['NaN', 'Infinity', '-0', '1e999', '0x1F', '٣', '१', 'null', 'undefined', '[object Object]'],
  ...["'; drop table x; --", '" or ""="', '<script>alert(1)</script>', '${7*7}', '{{7*7}}', '%s%n', '$ne'],
  ...[
    '../../../x',
    '..%2f..%2fx',
    'file:///x',
    '\r\nset-cookie: a=b',
    '__proto__',
    'constructor',
    'toString',
  ],
  ...['2026-02-30', '0000-01-01', '9999-12-31', '-1-01-01', '+44', '+447700900123456789012', 'FREQ=SECONDLY'],
  ...['A'.repeat(5000), 'ý'.repeat(3000), '9'.repeat(400), 'FREQ=DAILY;COUNT=999999999'],
  ...[[], {}, [[]], [null], { $ne: null }, { toString: null }, NESTED],
  JSON.parse('{"__proto__":{"isAdmin":true},"constructor":{"prototype":{"x":1}}}'),
]

/** The same value with one place of it replaced, dropped or doubled. */
export function spoil(value: unknown): Value {
  return fc.oneof(
    { weight: 2, arbitrary: fc.constantFrom(...NASTY).chain((bad) => replacedSomewhere(value, bad)) },
    { weight: 4, arbitrary: alikeSomewhere(value) },
    { weight: 1, arbitrary: fc.jsonValue().chain((bad) => replacedSomewhere(value, bad)) },
  )
}

/** One place replaced by something odd of its own kind, which gets further in before it is refused. */
function alikeSomewhere(value: unknown): Value {
  if (typeof value !== 'object' || value === null || Object.keys(value).length === 0) {
    const alike = NASTY.filter((bad) => typeof bad === typeof value)
    return fc.constantFrom(...(alike.length === 0 ? NASTY : alike))
  }
  return fc
    .constantFrom(...Object.keys(value))
    .chain((key) =>
      alikeSomewhere((value as Record<string, unknown>)[key]).map((next) =>
        Array.isArray(value)
          ? value.map((item: unknown, index) => (String(index) === key ? next : item))
          : { ...value, [key]: next },
      ),
    )
}

function replacedSomewhere(value: unknown, bad: unknown): Value {
  if (typeof value !== 'object' || value === null) return fc.constant(bad)
  const keys = Object.keys(value)
  if (keys.length === 0) return fc.constant(bad)
  return fc.constantFrom(...keys).chain((key) => {
    const inner = (value as Record<string, unknown>)[key]
    const put = (next: unknown): unknown =>
      Array.isArray(value)
        ? value.map((item: unknown, index) => (String(index) === key ? next : item))
        : { ...value, [key]: next }
    const without = Object.fromEntries(Object.entries(value).filter(([each]) => each !== key))
    return fc.oneof(
      fc.constant(put(bad)),
      replacedSomewhere(inner, bad).map(put),
      fc.constant(without),
      fc.constant({ ...value, unheardOf: bad }),
      fc.constant({ ...value, ['a\u0000b']: bad }),
    )
  })
}
