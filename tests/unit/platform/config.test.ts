import { readFileSync } from 'node:fs'
import { ConfigError, ENVIRONMENT, readConfig } from '../../../src/platform/config.ts'

function problemsOf(environment: Readonly<Record<string, string>>): readonly string[] {
  try {
    readConfig(environment)
    return []
  } catch (error) {
    if (error instanceof ConfigError) return error.problems
    throw error
  }
}

describe('readConfig', () => {
  test('opens the phone page only on a loopback address and without a gateway', () => {
    expect(readConfig({ TRY_OUT_PHONES: 'on' }).triesOutPhones).toBe(true)
    expect(() => readConfig({ TRY_OUT_PHONES: 'on', HTTP_HOST: '0.0.0.0' })).toThrow('TRY_OUT_PHONES')
    expect(() => readConfig({ TRY_OUT_PHONES: 'on', GATEWAY_FILE: 'gateway.json' })).toThrow('TRY_OUT_PHONES')
  })

  test('needs nothing: the defaults make a service on this machine alone', () => {
    expect(readConfig({})).toEqual({
      databaseUrl: null,
      readDatabaseUrl: null,
      redisUrl: null,
      isRedisCluster: false,
      dataFolder: '.duebell',
      keyFile: null,
      databaseConnections: 10,
      statementTimeoutMs: 30_000,
      queuePrefix: 'duebell',
      roles: new Set(['api', 'planner', 'sender', 'receiver']),
      httpHost: '127.0.0.1',
      httpPort: 8080,
      httpsCertificateFile: null,
      httpsKeyFile: null,
      trustedProxies: 0,
      requestsPerToken: 600,
      requestsPerAddress: 1200,
      metricsHost: '127.0.0.1',
      metricsPort: null,
      gatewayFile: null,
      reminderPoliciesFolder: null,
      backupFolder: '.duebell/backups',
      backupCopyFolder: null,
      backupKeep: 14,
      backupMaxAgeHours: 48,
      promisedAvailability: 99.5,
      logLevel: 'info',
      stopTimeoutMs: 20_000,
      webhookPrivateHosts: new Set(),
      triesOutPhones: false,
    })
  })

  test('makes up no keys in production', () => {
    expect(() => readConfig({ NODE_ENV: 'production' })).toThrow('SEALING_KEYS_FILE')
    expect(readConfig({ NODE_ENV: 'production', SEALING_KEYS_FILE: 'keys' }).keyFile).toBe('keys')
  })

  test('lets a process do a part of the work only where the phones are not inside it', () => {
    const parts = readConfig({ ROLES: 'sender, receiver', GATEWAY_FILE: 'gateway.json' })

    expect(parts.roles).toEqual(new Set(['sender', 'receiver']))
    expect(() => readConfig({ ROLES: 'sender' })).toThrow('ROLES: has to be all of them without GATEWAY_FILE')
    expect(() => readConfig({ ROLES: 'leader', GATEWAY_FILE: 'gateway.json' })).toThrow('ROLES')
    expect(() => readConfig({ ROLES: '', GATEWAY_FILE: 'gateway.json' })).not.toThrow()
  })

  test('takes a cluster only by the address of one of its nodes', () => {
    expect(() => readConfig({ REDIS_CLUSTER: 'on' })).toThrow('REDIS_CLUSTER: needs REDIS_URL')
    expect(readConfig({ REDIS_CLUSTER: 'on', REDIS_URL: 'redis://127.0.0.1:7000' }).isRedisCluster).toBe(true)
  })

  test('names every variable that is wrong at once', () => {
    const environment = { REDIS_URL: 'http://x', HTTP_PORT: '70000', LOG_LEVEL: 'loud', QUEUE_PREFIX: 'a:b' }

    expect(() => readConfig(environment)).toThrow(
      /REDIS_URL: .*\n.*QUEUE_PREFIX: .*\n.*HTTP_PORT: .*\n.*LOG_LEVEL: /,
    )
    expect(() => readConfig(environment)).toThrow(ConfigError)
  })

  test('says beside them what does not go together', () => {
    const wrong = {
      HTTP_PORT: 'front',
      NODE_ENV: 'production',
      HTTPS_KEY_FILE: 'key.pem',
      REDIS_CLUSTER: 'on',
    }

    expect(problemsOf({ ...wrong, ROLES: 'sender' }).map((problem) => problem.split(':')[0])).toEqual([
      'HTTP_PORT',
      'HTTPS_CERTIFICATE_FILE',
      'SEALING_KEYS_FILE',
      'ROLES',
      'REDIS_CLUSTER',
    ])
    expect(problemsOf({ HTTP_PORT: 'front', ROLES: 'leader' })).toHaveLength(2)
  })

  test('never repeats a wrong value, which may be a secret', () => {
    expect(() => readConfig({ DATABASE_URL: 'hunter2' })).toThrow(/^((?!hunter2).)*$/s)
  })

  test.each(['1e3', '0x10', ' 10', '10.0', '-1', 'ten'])('does not take %j for a whole number', (text) => {
    expect(() => readConfig({ DATABASE_CONNECTIONS: text })).toThrow('DATABASE_CONNECTIONS')
  })

  test('takes an empty variable as not set', () => {
    expect(readConfig({ DATABASE_URL: '', HTTP_PORT: '' })).toEqual(readConfig({}))
  })

  test('gives a value nobody can change', () => {
    expect(Object.isFrozen(readConfig({}))).toBe(true)
  })
})

describe('ENVIRONMENT', () => {
  test('describes every variable', () => {
    for (const variable of Object.values(ENVIRONMENT.shape)) expect(variable.description).toMatch(/\.$/)
  })

  test('lists the same variables as .env.example', () => {
    const example = readFileSync('.env.example', 'utf8')
    const listed = [...example.matchAll(/^(?:# )?([A-Z_]+)=/gm)].map((match) => match[1])

    expect(listed).toEqual(Object.keys(ENVIRONMENT.shape))
  })

  test('has the defaults that .env.example shows', () => {
    const shown: Record<string, string> = {}
    for (const line of readFileSync('.env.example', 'utf8').split('\n')) {
      const [, name, value] = /^([A-Z_]+)=(.*)$/.exec(line) ?? []
      if (name !== undefined && value !== undefined) shown[name] = value
    }

    expect(Object.keys(shown).length).toBeGreaterThan(0)
    expect(readConfig(shown)).toEqual(readConfig({}))
  })
})
