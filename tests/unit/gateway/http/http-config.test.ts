import { readFileSync, readdirSync } from 'node:fs'
import { z } from 'zod'
import { HttpGatewayConfig, secretsOfHttp } from '../../../../src/gateway/http/http-config.ts'

const FOLDER = new URL('../../../../src/data/gateways/', import.meta.url)

const Described = z.looseObject({ kind: z.string() })

function example(name: string) {
  return Described.parse(JSON.parse(readFileSync(new URL(name, FOLDER), 'utf8')))
}

const httpExamples = readdirSync(FOLDER).filter((name) => example(name).kind === 'http')

const minimal = {
  kind: 'http',
  name: 'mine',
  submit: { request: { url: 'https://a.example/{{id}}' } },
}

describe('HttpGatewayConfig', () => {
  test.each(httpExamples)('accepts the shipped example %s', (name) => {
    expect(HttpGatewayConfig.safeParse(example(name)).error).toBeUndefined()
  })

  test('fills in what a short description leaves out', () => {
    expect(HttpGatewayConfig.parse(minimal)).toMatchObject({
      numbers: 'plus',
      submit: { request: { method: 'POST', timeoutMs: 15_000 }, recognisesRepeats: false, answers: [] },
      breaker: { failures: 5, restMs: 30_000 },
    })
  })

  test.each([
    [
      'a placeholder nobody fills',
      { submit: { request: { url: 'https://a.example/{{number}}' } } },
      '{{number}}',
    ],
    ['a field nobody reads', { sumbit: {} }, 'sumbit'],
    [
      'a time that is not signed',
      {
        receive: {
          proof: { kind: 'hmac', header: 'x', timestampHeader: 'y', signs: '{{body}}', secrets: ['s'] },
        },
      },
      'timestampHeader',
    ],
    ['a name that is no name', { name: 'My Gateway' }, 'name'],
  ])('refuses %s and says which', (_, change, named) => {
    const issues = HttpGatewayConfig.safeParse({ ...minimal, ...change }).error?.issues

    expect(JSON.stringify(issues)).toContain(named)
  })
})

describe('secretsOfHttp', () => {
  test('finds secrets in templates and in the proof of callbacks', () => {
    const config = HttpGatewayConfig.parse(example('example-form.json'))

    expect(secretsOfHttp(config)).toEqual([
      'example-form-account',
      'example-form-callback',
      'example-form-password',
    ])
  })
})
