import { Validator } from '@seriousme/openapi-schema-validator'
import { z } from 'zod'
import { REFUSALS } from '../../../src/core/refusals.ts'
import { ROUTES } from '../../../src/http/routes/all.ts'
import { runningService } from '../../support/running-service.ts'

const service = await runningService()
const { address, call } = service

const operation = z.object({
  summary: z.string(),
  responses: z.record(z.string(), z.object({ content: z.record(z.string(), z.unknown()) })),
})
const document = z.object({
  openapi: z.string(),
  paths: z.record(z.string(), z.record(z.string(), operation)),
})

test('the document is valid by the schema of the OpenAPI Initiative', async () => {
  const { body } = await call('GET', '/v1/openapi.json')
  const validator = new Validator()

  // The package carries the schemas of spec.openapis.org.
  expect(await validator.validate(z.record(z.string(), z.unknown()).parse(body))).toEqual({ valid: true })
  expect(validator.version).toBe('3.1')
})

test('it describes every route and nothing else, each with what it answers and how it refuses', async () => {
  const { paths } = document.parse((await call('GET', '/v1/openapi.json')).body)

  const described = Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, { responses }]) => {
      const [status] = Object.keys(responses).filter((each) => each !== 'default')
      expect(Object.keys(responses['default']?.content ?? {})).toEqual([
        path.startsWith('/fhir/') ? 'application/fhir+json' : 'application/problem+json',
      ])
      const [contentType] = Object.keys(responses[status ?? '']?.content ?? {})
      return `${method} ${path} ${status ?? ''} ${contentType ?? ''}`
    }),
  )
  const served = ROUTES.map((route) => `${route.method} ${route.path} ${route.status} ${route.contentType}`)
  expect(described.sort()).toEqual(served.sort())
})

test('it names every code a problem can have', async () => {
  const text = JSON.stringify((await call('GET', '/v1/openapi.json')).body)

  expect(Object.keys(REFUSALS).filter((code) => !text.includes(code))).toEqual([])
})

test('a page shows it, with everything the page needs from the service itself', async () => {
  const page = await (await fetch(`${address}/docs`)).text()
  const needed = [...page.matchAll(/(?:src|href)="([^"]+)"/g)].map(([, path]) => path ?? '')

  expect(needed.length).toBeGreaterThan(2)
  for (const path of needed) expect((await fetch(`${address}${path}`)).status).toBe(200)
})
