/** What docker-compose.yml and Dockerfile promise, held to it without an engine. */
import { readFileSync } from 'node:fs'
import { validate } from 'dockerfile-utils'
import { parse } from 'yaml'
import { z } from 'zod'
import { CHECKS } from '../../../src/main/doctor/finding.ts'

const limits = z.object({ cpus: z.string(), memory: z.string() })
const service = z.object({
  command: z.array(z.string()).optional(),
  user: z.string(),
  read_only: z.boolean(),
  cap_drop: z.array(z.string()),
  security_opt: z.array(z.string()),
  restart: z.string(),
  networks: z.array(z.string()),
  ports: z.array(z.string()).default([]),
  pids_limit: z.int(),
  deploy: z.object({ resources: z.object({ limits }) }),
  healthcheck: z.object({ test: z.array(z.string()) }).loose(),
  depends_on: z.record(z.string(), z.object({ condition: z.string() })).default({}),
  environment: z.record(z.string(), z.union([z.string(), z.number()])).default({}),
  stop_grace_period: z.string().optional(),
})
const compose = z.object({
  services: z.record(z.string(), service),
  networks: z.object({ inner: z.object({ internal: z.literal(true) }), outer: z.object({}) }),
})
const { services } = compose.parse(
  parse(readFileSync('docker-compose.yml', 'utf8'), { merge: true, schema: 'core' }),
)
const all = Object.entries(services)
const commandOf = (name: string): string => services[name]?.command?.join(' ') ?? ''

describe('docker-compose.yml', () => {
  test('brings up Postgres, Redis, API, worker and backup', () => {
    expect(Object.keys(services).sort()).toEqual(['api', 'backup', 'postgres', 'redis', 'worker'])
    expect(commandOf('api')).toBe('serve --roles api,receiver')
    expect(commandOf('worker')).toBe('serve --roles planner,sender')
    expect(commandOf('backup')).toMatch(/^backup --every-hours \d+$/)
  })

  test.each(all)('runs %s as nobody special, unable to change itself, within limits', (_name, each) => {
    expect(each.user).not.toMatch(/^(root|0)/)
    expect(each.read_only).toBe(true)
    expect(each.cap_drop).toEqual(['ALL'])
    expect(each.security_opt).toContain('no-new-privileges:true')
    expect(each.pids_limit).toBeLessThanOrEqual(300)
    expect(each.deploy.resources.limits.memory).toMatch(/^\d+[mg]$/)
    expect(each.restart).toBe('unless-stopped')
    expect(each.healthcheck.test.length).toBeGreaterThan(1)
  })

  test('lets nobody reach the servers from outside, and the API only on this machine', () => {
    for (const name of ['postgres', 'redis']) {
      expect(services[name]?.ports).toEqual([])
      expect(services[name]?.networks).toEqual(['inner'])
    }
    expect(services['api']?.ports).toEqual(['127.0.0.1:8080:8080'])
  })

  test('keeps Redis from dropping jobs and from forgetting them', () => {
    expect(commandOf('redis')).toContain('--maxmemory-policy noeviction')
    expect(commandOf('redis')).toContain('--appendonly yes')
  })

  test('starts the service when its servers are well and gives it time to stop', () => {
    for (const name of ['api', 'worker', 'backup']) {
      expect(services[name]?.depends_on).toEqual({
        postgres: { condition: 'service_healthy' },
        redis: { condition: 'service_healthy' },
      })
      expect(services[name]?.stop_grace_period).toBe('60s')
      expect(services[name]?.environment['SEALING_KEYS_FILE']).toBe('/run/secrets/duebell-keys')
    }
  })
})

test('each process of the service is asked by the doctor how it is', () => {
  for (const name of ['api', 'worker', 'backup']) {
    const [, check] = /^CMD node dist\/main\/duebell\.js doctor --only (\S+)$/.exec(
      services[name]?.healthcheck.test.join(' ') ?? '',
    ) ?? [name]
    expect(CHECKS).toContain(check)
  }
})

describe('Dockerfile', () => {
  const text = readFileSync('Dockerfile', 'utf8')

  test('has no fault that a validator of Dockerfiles finds', () => {
    expect(validate(text)).toEqual([])
  })

  test('ends as a user without rights, over a program that root owns', () => {
    const last = text.slice(text.lastIndexOf('FROM '))
    expect(last).toMatch(/^USER node$/m)
    expect(last.match(/^COPY .*$/gm)?.every((line) => !line.includes('--chown'))).toBe(true)
    expect(last).toMatch(/^ENTRYPOINT \["node", "dist\/main\/duebell\.js"\]$/m)
  })
})
