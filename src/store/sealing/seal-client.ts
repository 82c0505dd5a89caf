import type { Prisma, PrismaClient } from '../../generated/prisma/client.ts'
import { RELATIONS, SEALED_FIELDS } from './sealed-fields.ts'
import { looksSealed, type SealKind, type Vault } from './vault.ts'

/** The data of a statement of the client, before it is typed: plain objects, lists and values. */
type Plain = Readonly<Record<string, unknown>>

interface Call {
  /** Not set: SQL, whose statements seal what they write themselves. */
  readonly model?: string
  readonly operation: string
  readonly args: unknown
  readonly query: (args: never) => Promise<unknown>
}

/**
 * Puts the vault between the client and its callers: whatever goes into a field of {@link SEALED_FIELDS} is sealed,
 * whatever comes out sealed is opened, by-key or from a `.sql` file, inside a transaction or not. Callers never see it;
 * a statement that writes such a field by itself seals with {@link vaultOf}.
 */
export function sealClient(client: PrismaClient, vault: Vault): PrismaClient {
  const sealed = client.$extends({
    client: { vault },
    query: {
      async $allOperations({ model, operation, args, query }: Call) {
        const given = model === undefined ? args : sealArguments(vault, { model, operation }, args)
        return openAll(vault, await query(given as never))
      },
    },
  })
  // The extension adds no method and takes none away that is used here.
  return sealed as unknown as PrismaClient
}

/** The vault of a handle, also inside a transaction. */
export function vaultOf(db: PrismaClient | Prisma.TransactionClient): Vault {
  return (db as unknown as { readonly vault: Vault }).vault
}

const isPlain = (value: unknown): value is Plain =>
  typeof value === 'object' && value !== null && Object.getPrototypeOf(value) === Object.prototype

const mapFields = (fields: Plain, map: (value: unknown, field: string) => unknown): Plain =>
  Object.fromEntries(Object.entries(fields).map(([field, value]) => [field, map(value, field)]))

/** Operations that name one row by a unique field take one value for it. */
const BY_KEY: ReadonlySet<string> = new Set(['findUnique', 'findUniqueOrThrow', 'update', 'upsert', 'delete'])

function sealArguments(
  vault: Vault,
  { model, operation }: { readonly model: string; readonly operation: string },
  args: unknown,
): unknown {
  if (!isPlain(args)) return args
  const formsOf = BY_KEY.has(operation)
    ? (number: string) => [vault.seal('number', number)]
    : (number: string) => vault.formsOf(number)
  return mapFields(args, (value, part) => {
    if (part === 'where') return sealFilter(formsOf, model, value)
    return part === 'data' || part === 'create' || part === 'update' ? sealData(vault, model, value) : value
  })
}

const NOTHING_SEALED: Readonly<Record<string, SealKind>> = {}

function sealData(vault: Vault, model: string, data: unknown): unknown {
  if (Array.isArray(data)) return data.map((row) => sealData(vault, model, row))
  if (!isPlain(data)) return data
  const kinds = SEALED_FIELDS[model] ?? NOTHING_SEALED
  const sealed: Record<string, unknown> = { ...data }
  for (const field in sealed) sealed[field] = sealValue(vault, kinds[field], sealed[field])
  return sealed
}

function sealValue(vault: Vault, kind: SealKind | undefined, value: unknown): unknown {
  if (value === null || value === undefined) return value
  if (kind === 'json') return vault.seal(kind, JSON.stringify(value))
  if (typeof value !== 'string') return value
  if (kind !== undefined) return vault.seal(kind, value)
  // What only looks sealed is sealed too, so that it comes out as it went in.
  return looksSealed(value) ? vault.seal('text', value) : value
}

type FormsOf = (number: string) => readonly string[]

/** A number is looked for in every form it may have; other sealed fields cannot be looked for in the database. */
function sealFilter(formsOf: FormsOf, model: string, filter: unknown): unknown {
  if (Array.isArray(filter)) return filter.map((each) => sealFilter(formsOf, model, each))
  if (!isPlain(filter)) return filter
  return mapFields(filter, (value, field) => {
    const kind = SEALED_FIELDS[model]?.[field]
    if (kind === 'number') return sealNumberFilter(formsOf, value)
    if (kind !== undefined && value !== null)
      throw new TypeError(`${model}.${field} is sealed: read the rows and compare it then.`)
    return sealFilter(formsOf, RELATIONS[field] ?? model, value)
  })
}

function sealNumberFilter(formsOf: FormsOf, filter: unknown): unknown {
  if (typeof filter === 'string') {
    const [form, ...others] = formsOf(filter)
    return others.length === 0 ? form : { in: [form, ...others] }
  }
  if (!isPlain(filter)) return filter
  return mapFields(filter, (value) =>
    Array.isArray(value) ? (value as string[]).flatMap(formsOf) : sealNumberFilter(formsOf, value),
  )
}

/** Opens every sealed text in what came out of the database, where it stands: rows are new and nobody else's. */
function openAll(vault: Vault, found: unknown): unknown {
  if (typeof found === 'string') return vault.open(found)
  if (Array.isArray(found)) openEach(vault, found)
  else if (isPlain(found)) openEach(vault, found)
  return found
}

function openEach(vault: Vault, holder: object): void {
  const values = holder as Record<string, unknown>
  for (const key in values) {
    const value = values[key]
    if (typeof value === 'string') {
      if (looksSealed(value)) values[key] = vault.open(value)
    } else if (typeof value === 'object' && value !== null) openAll(vault, value)
  }
}
