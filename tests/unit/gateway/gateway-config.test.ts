import { readFileSync, readdirSync } from 'node:fs'
import { buildGateway } from '../../../src/gateway/build-gateway.ts'
import { GatewayConfig, secretsNeededBy } from '../../../src/gateway/gateway-config.ts'

const FOLDER = new URL('../../../src/data/gateways/', import.meta.url)
const examples = readdirSync(FOLDER).filter((name) => name.startsWith('example-'))

function example(name: string): GatewayConfig {
  return GatewayConfig.parse(JSON.parse(readFileSync(new URL(name, FOLDER), 'utf8')))
}

const nothing = (): void => undefined
const parts = {
  clock: { now: () => new Date(0) },
  newId: () => 'id',
  log: { info: nothing, warn: nothing, error: nothing },
  random: () => 0,
}

describe('the shipped examples', () => {
  test('are of every kind that leaves the process', () => {
    expect(new Set(examples.map((name) => example(name).kind))).toEqual(new Set(['http', 'smpp', 'routes']))
  })

  test.each(examples)('%s builds with its secrets, and says which one is missing', (name) => {
    const config = example(name)
    const needed = secretsNeededBy(config)
    const secrets = Object.fromEntries(needed.map((secret) => [secret, 's3cret']))

    expect(buildGateway(config, { ...parts, secrets }).gateway.name).toBe(config.name)
    expect(needed).not.toEqual([])
    for (const missing of needed) {
      const others = { ...secrets, [missing]: '' }
      expect(() => buildGateway(config, { ...parts, secrets: others })).toThrow(`"${missing}" is not set`)
    }
  })
})

describe('buildGateway', () => {
  test('names the receivers of callbacks of every member', () => {
    const config = GatewayConfig.parse({
      kind: 'routes',
      name: 'all',
      routes: [
        {
          prefixes: ['+44'],
          gateway: { kind: 'http', name: 'web', submit: { request: { url: 'https://a.example' } } },
        },
        { prefixes: [''], gateway: { kind: 'handset', name: 'here', shortCode: '70900' } },
      ],
    })
    const built = buildGateway(config, { ...parts, secrets: {} })

    expect([...built.receivers.keys()]).toEqual(['web'])
    expect(built.handset?.name).toBe('here')
  })
})

describe('GatewayConfig', () => {
  const account = {
    kind: 'smpp',
    name: 's',
    host: 'h',
    systemId: 'x',
    source: { address: '1', ton: 3, npi: 0 },
  }

  test.each([
    ['a national table beside an 8-bit alphabet', { national: 'spanish', plain: { alphabet: 'latin1' } }],
    ['a national table beside sar TLVs', { national: 'spanish', longTexts: 'sar' }],
    ['a system_id longer than its field', { systemId: 'x'.repeat(16) }],
    ['a time zone that does not exist', { receiptZone: 'Africa/Adis_Abeba' }],
    ['a status that is none', { vendorStatuses: { '401': 'try-later' } }],
  ])('refuses %s', (_, change) => {
    expect(GatewayConfig.safeParse(account).success).toBe(true)
    expect(GatewayConfig.safeParse({ ...account, ...change }).success).toBe(false)
  })
})
