import { readAudit } from '../../../scripts/audit-answer.ts'

describe('a scan for known faults', () => {
  test('names each package with its severity, the worst first', () => {
    const vulnerabilities = {
      one: { severity: 'low', range: '<1.0.1' },
      two: { severity: 'critical', range: '2.x' },
    }

    const { exitCode, text } = readAudit(JSON.stringify({ auditReportVersion: 2, vulnerabilities }))

    expect(exitCode).toBe(1)
    expect(text.split('\n').slice(0, 2)).toEqual(['critical two 2.x', 'low      one <1.0.1'])
  })

  test('says that nothing is known only where the registry said so', () => {
    expect(readAudit('{"auditReportVersion":2,"vulnerabilities":{}}').exitCode).toBe(0)
  })

  test.each([
    '',
    'not JSON',
    '{"message":"405 Method Not Allowed - POST somewhere"}',
    '{"error":{"code":"ENETUNREACH"}}',
  ])('never takes silence for health: %j', (json) => {
    const { exitCode, text } = readAudit(json)

    expect(exitCode).toBe(2)
    expect(text).toMatch(/^Not scanned/)
    expect(text).not.toContain('somewhere')
  })
})
