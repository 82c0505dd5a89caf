import { runDuebell } from '../support/run-duebell.ts'

test('duebell serve does not start on wrong settings: it says all of them at once, no secret, and ends with 2', async () => {
  const { exitCode, output, complaint } = await runDuebell(['serve'], {
    DATABASE_URL: 'mysql://someone:hunter2@db/x',
    HTTP_PORT: 'front',
    HTTPS_KEY_FILE: '/nowhere/key.pem',
    GATEWAY_FILE: 'src/data/gateways/example-json.json',
  })

  expect(exitCode).toBe(2)
  expect(output).toBe('')
  for (const variable of [
    'DATABASE_URL',
    'HTTP_PORT',
    'HTTPS_CERTIFICATE_FILE',
    'GATEWAY_SECRET_EXAMPLE_JSON_TOKEN',
  ])
    expect(complaint).toContain(`  ${variable}: `)
  expect(complaint).not.toContain('hunter2')
})
