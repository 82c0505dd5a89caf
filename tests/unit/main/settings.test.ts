import { mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { readSettings } from '../../../src/main/settings.ts'
import { ConfigError } from '../../../src/platform/config.ts'

const folder = mkdtempSync(join(tmpdir(), 'duebell-settings-'))

function fileOf(name: string, text: string): string {
  const path = join(folder, name)
  writeFileSync(path, text)
  return path
}

function problemsOf(environment: Readonly<Record<string, string>>): readonly string[] {
  try {
    readSettings(environment)
    return []
  } catch (error) {
    if (error instanceof ConfigError) return error.problems
    throw error
  }
}

const EXAMPLE = 'src/data/gateways/example-json.json'
const SECRETS = { GATEWAY_SECRET_API_KEY: 'k', GATEWAY_SECRET_CALLBACK: 'c' }

describe('readSettings', () => {
  test('names what is wrong in variables, gateway file, secrets and certificate at once', () => {
    const problems = problemsOf({
      HTTP_PORT: 'front',
      LOG_LEVEL: 'loud',
      GATEWAY_FILE: EXAMPLE,
      HTTPS_CERTIFICATE_FILE: '/nowhere/certificate.pem',
      HTTPS_KEY_FILE: '/nowhere/key.pem',
    })

    const variables = problems.map((problem) => problem.split(':')[0])
    expect(variables).toEqual(
      expect.arrayContaining(['HTTP_PORT', 'LOG_LEVEL', 'HTTPS_CERTIFICATE_FILE']) as string[],
    )
    expect(problems.join('\n')).toMatch(/GATEWAY_SECRET_\w+: the gateway needs the secret/)
  })

  test.each([
    ['is not there', '/nowhere/gateway.json', 'cannot be read (ENOENT)'],
    ['is no JSON', fileOf('broken.json', '{'), 'is not JSON'],
    ['describes no gateway', fileOf('other.json', '{"kind":"pigeon"}'), 'kind'],
  ])('says so when the gateway file %s', (_what, GATEWAY_FILE, said) => {
    expect(problemsOf({ GATEWAY_FILE }).join('\n')).toContain(said)
  })

  test('asks for certificate and key together', () => {
    const certificate = fileOf('certificate.pem', '')

    expect(problemsOf({ HTTPS_CERTIFICATE_FILE: certificate }).join()).toContain('set both or neither')
  })

  test('never repeats a secret', () => {
    const problems = problemsOf({ ...SECRETS, DATABASE_URL: 'hunter2', GATEWAY_FILE: '/nowhere' })

    expect(problems).toHaveLength(2)
    expect(problems.join()).not.toContain('hunter2')
  })
})
