import { z } from 'zod'
import { checkCardNumber } from '../../core/card-number.ts'
import type { Resource } from '../../core/exchange/resource.ts'
import { searchSet } from '../../core/exchange/bundle-out.ts'
import { rangeOfDays, rangeOfInstants } from '../../core/exchange/search-dates.ts'
import type { BadDate, Range } from '../../core/exchange/search-dates.ts'
import { SYSTEM } from '../../core/exchange/systems.ts'

/** Search parameters (R4 §3.1.1): read here, declared by each route, listed in the CapabilityStatement. */

/** Parameters that may stand several times, all of which have to hold. */
const repeated = z.union([z.string(), z.array(z.string())]).transform((given) => [given].flat())

function ranges<T>(read: (values: readonly string[]) => Range<T> | BadDate) {
  return repeated
    .transform((values, context) => {
      const range = read(values)
      if (!('kind' in range)) return range
      context.addIssue({ code: 'custom', message: `${range.value} is no date, such as ge2026-01-31` })
      return z.NEVER
    })
    .optional()
}

export const dateParam = ranges(rangeOfDays)
const instantParam = ranges(rangeOfInstants)

/** `Patient/<id>` or the bare identifier. */
export const referenceParam = (type: string) =>
  z
    .string()
    .transform((text) => (text.startsWith(`${type}/`) ? text.slice(type.length + 1) : text))
    .pipe(z.uuid())
    .optional()

/** `issuer|number`, or the number alone; a card number may be written in groups. */
export const identifierParam = z
  .string()
  .min(1)
  .transform((text) => {
    const [first = '', ...rest] = text.split('|')
    const issuer = rest.length === 0 || first === '' ? null : first
    const number = rest.length === 0 ? first : rest.join('|')
    const card = issuer === null || issuer === SYSTEM.card ? checkCardNumber(number) : undefined
    return { issuer, number: card?.kind === 'card' ? card.number : number }
  })
  .optional()

/** What every search takes. */
export const usualParams = {
  _id: z
    .string()
    .transform((text) => text.split(','))
    .pipe(z.array(z.uuid()))
    .optional(),
  _lastUpdated: instantParam,
  _count: z
    .string()
    .regex(/^\d{1,4}$/, 'has to be a whole number')
    .transform((text) => Math.min(Math.max(Number(text), 1), 200))
    .default(50),
  _after: z.uuid().optional().describe('Where the page before ended; part of its next link.'),
  _format: z.enum(['json', 'application/json', 'application/fhir+json']).optional(),
}

/** The page of a search as a Bundle with the links around it. */
export function pageBundle(
  found: { readonly resources: readonly Resource[]; readonly next: string | null },
  address: URL,
) {
  const next = new URL(address)
  if (found.next !== null) next.searchParams.set('_after', found.next)
  return searchSet(
    { resources: found.resources, next: found.next === null ? null : next.href },
    baseOf(address),
    address.href,
  )
}

/** `https://…/fhir/R4`. */
export function baseOf(address: URL): string {
  return `${address.origin}/fhir/R4`
}
