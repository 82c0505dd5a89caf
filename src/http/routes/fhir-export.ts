import { z } from 'zod'
import { EXPORTED, exportLines, exportTime } from '../../app/exchange/export-lines.ts'
import type { Principal } from '../../app/tokens.ts'
import { outcomeResource } from '../../core/exchange/outcome.ts'
import { Refusal } from '../../core/refusals.ts'
import { baseOf } from '../fhir/search.ts'
import { route } from '../route.ts'
import { noBody, none } from '../shapes.ts'

/**
 * Bulk export in the pattern of HL7 Bulk Data Access: a start, a manifest, files of one resource a line. Nothing is
 * prepared: a file is read from the register while it is fetched, so the manifest is there at once and the job is but
 * its parameters.
 */

const ROLES = ['manager', 'officer', 'machine'] as const

const instant = z.iso
  .datetime({ offset: true })
  .transform((text) => new Date(text))
  .optional()
const isIdentified = z.enum(['true', 'false']).optional().describe('true: with names and numbers.')
const types = z
  .string()
  .transform((text) => text.split(','))
  .pipe(z.array(z.enum(EXPORTED)))
  .optional()
const format = z.enum(['application/fhir+ndjson', 'application/ndjson', 'ndjson']).optional()

const exporting = { method: 'get', tag: 'FHIR', roles: ROLES, body: noBody } as const

/** @throws {Refusal} not-allowed */
function refuseIdentity({ role }: Principal, wanted: string | undefined): void {
  if (wanted !== 'true' || role === 'officer' || role === 'machine') return
  throw new Refusal('not-allowed', `A ${role} token exports without identities; leave out _identified.`)
}

const outcomeAnswer = z.looseObject({
  resourceType: z.literal('OperationOutcome'),
  issue: z.array(z.looseObject({ diagnostics: z.string() })),
})

const start = route({
  ...exporting,
  path: '/fhir/R4/$export',
  summary: 'Start a bulk export; Content-Location leads to its manifest. Without identities unless asked for',
  params: none,
  query: z.strictObject({
    _type: types,
    _since: instant,
    _outputFormat: format,
    _identified: isIdentified,
  }),
  status: 202,
  answer: outcomeAnswer,
  contentType: 'application/fhir+json',
  headers: (body) => {
    const [issue] = outcomeAnswer.parse(body).issue
    return { 'content-location': issue?.diagnostics ?? '' }
  },
  district: ({ principal }) => principal.districtId,
  handle: async ({ db, deps, principal, query, address }) => {
    refuseIdentity(principal, query._identified)
    const manifest = new URL(`${baseOf(address)}/$export-manifest${address.search}`)
    manifest.searchParams.set('_until', (await exportTime(db)).toISOString())
    if (query._identified !== 'true') manifest.searchParams.set('_salt', deps.newSecret())
    const finding = { severity: 'information', type: 'informational', code: 'export-ready' } as const
    return outcomeAnswer.parse(outcomeResource([{ ...finding, detail: manifest.href }]))
  },
})

const ofJob = {
  _type: types,
  _since: instant,
  _outputFormat: format,
  _identified: isIdentified,
  _until: z.iso.datetime(),
  _salt: z.string().min(20).max(100).optional(),
}

const manifest = route({
  ...exporting,
  path: '/fhir/R4/$export-manifest',
  summary: 'Where the files of an export are',
  params: none,
  query: z.strictObject(ofJob),
  status: 200,
  answer: z.object({
    transactionTime: z.iso.datetime(),
    request: z.string(),
    requiresAccessToken: z.literal(true),
    output: z.array(z.object({ type: z.enum(EXPORTED), url: z.string() })),
    error: z.array(z.never()),
  }),
  contentType: 'application/json',
  district: ({ principal }) => principal.districtId,
  handle: ({ query, address }) => {
    const request = new URL(`${baseOf(address)}/$export${address.search}`)
    for (const own of ['_until', '_salt']) request.searchParams.delete(own)
    return Promise.resolve({
      transactionTime: query._until,
      request: request.href,
      requiresAccessToken: true as const,
      output: (query._type ?? EXPORTED).map((type) => {
        const file = new URL(`${baseOf(address)}/$export-file/${type}${address.search}`)
        file.searchParams.delete('_type')
        return { type, url: file.href }
      }),
      error: [],
    })
  },
})

const file = route({
  ...exporting,
  path: '/fhir/R4/$export-file/{type}',
  summary: 'One resource a line, as fast as it is read',
  params: z.object({ type: z.enum(EXPORTED) }),
  query: z.strictObject(ofJob),
  status: 200,
  answer: z.string(),
  contentType: 'application/fhir+ndjson',
  district: ({ principal }) => principal.districtId,
  handle: ({ db, deps, principal, params, query }) => {
    refuseIdentity(principal, query._identified)
    const salt = query._identified === 'true' ? null : query._salt
    if (salt === undefined) throw new Refusal('input-invalid', 'Fetch the files that the manifest names.')
    const lines = exportLines(db, deps, {
      type: params.type,
      districtId: principal.districtId,
      changed: { from: query._since ?? null, before: new Date(query._until) },
      salt,
      by: principal.name,
    })
    // Such answers are lines; see ContentType.
    return Promise.resolve(lines as unknown as string)
  },
})

export const FHIR_EXPORT_ROUTES = [start, manifest, file]
