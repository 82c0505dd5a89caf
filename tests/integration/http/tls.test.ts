/** HTTPS of the service itself, as a scan from outside would see it. */
import { connect } from 'node:tls'
import type { SecureVersion } from 'node:tls'
import { buildServer } from '../../../src/http/server.ts'
import { listen } from '../../../src/main/listen.ts'
import { openLifecycle } from '../../../src/platform/lifecycle.ts'
import { fixedClock } from '../../support/fixed-clock.ts'
import { openTestDatabase } from '../../support/test-database.ts'
import { testDeps } from '../../support/test-deps.ts'
import { TEST_CERTIFICATE, TEST_KEY } from '../../support/test-smsc-certificate.ts'

const database = await openTestDatabase()
const lifecycle = openLifecycle(10_000)
afterAll(() => lifecycle.stop())
const deps = testDeps(database, fixedClock('2026-03-02T09:00Z'))
const app = buildServer({ deps, version: '0.0.0', receivers: new Map(), pages: [] })
const tls = { certificate: TEST_CERTIFICATE, key: TEST_KEY }
const address = await listen(app, { host: '127.0.0.1', port: 0, lifecycle, tls })

/** Asks over exactly one version of TLS; answers the status line, or why there was none. */
async function askOver(version: SecureVersion): Promise<string> {
  const socket = connect({
    host: '127.0.0.1',
    port: Number(new URL(address).port),
    servername: 'smsc.test',
    ca: TEST_CERTIFICATE,
    minVersion: version,
    maxVersion: version,
    // Old versions need old ciphers on this side; the service must refuse all the same.
    ciphers: 'DEFAULT:@SECLEVEL=0',
  })
  let answer = ''
  socket.on('data', (part: Buffer) => (answer += part.toString()))
  socket.on('error', (error: NodeJS.ErrnoException) => (answer = error.code ?? error.message))
  socket.on('secureConnect', () => {
    socket.write('GET /health/live HTTP/1.1\r\nhost: smsc.test\r\nconnection: close\r\n\r\n')
  })
  await new Promise((resolve) => socket.on('close', resolve))
  return answer
}

describe('the service with a certificate', () => {
  test('says an https address and answers nothing in the clear', async () => {
    expect(address).toMatch(/^https:/)
    await expect(fetch(`${address.replace('https', 'http')}/health/live`)).rejects.toThrow('fetch failed')
  })

  test.each(['TLSv1.2', 'TLSv1.3'] as const)(
    'speaks %s and asks browsers to stay with it',
    async (version) => {
      const answer = await askOver(version)

      expect(answer).toMatch(/^HTTP\/1\.1 200 OK/)
      expect(answer).toMatch(/strict-transport-security: max-age=31536000/i)
    },
  )

  test.each(['TLSv1', 'TLSv1.1'] as const)('refuses %s', async (version) => {
    expect(await askOver(version)).not.toContain('HTTP/')
  })
})
