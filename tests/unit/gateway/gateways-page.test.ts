import { readFileSync } from 'node:fs'
import { SmppConfig } from '../../../src/gateway/smpp/smpp-config.ts'

const page = readFileSync(new URL('../../../docs/gateways.md', import.meta.url), 'utf8')

/** What a minimal account looks like with every default filled in. */
const account = SmppConfig.parse({
  kind: 'smpp',
  name: 's',
  host: 'h',
  systemId: 'x',
  source: { address: '1', ton: 3, npi: 0 },
})

describe('docs/gateways.md', () => {
  test.each(Object.keys(SmppConfig.shape).filter((field) => !['kind', 'name'].includes(field)))(
    'explains the field %s of an account',
    (field) => {
      expect(page).toContain(`\`${field}\``)
    },
  )

  test.each(Object.entries(account.timing))('gives the default of %s: %i', (field, value) => {
    const row = page.split('\n').find((line) => line.includes(`\`${field}\``)) ?? ''
    const [names = '', defaults = ''] = row.split('|').slice(1)
    const at = names.split(',').findIndex((name) => name.includes(`\`${field}\``))
    const [amount, unit = ''] = (defaults.split(',')[at] ?? '').trim().split(' ')
    const inMs = Number(amount) * ({ s: 1000, min: 60_000 }[unit] ?? 1)

    expect(inMs).toBe(value)
  })
})
